package coverage

import (
	"errors"
	"fmt"
	"math"
)

// Expected is what to expect over a mix of situations.
type Expected struct {
	Demand *Demand
	Cells  []ExpectedCell
	People float64
	Bands  []Band  // expected people and area within each limit
	MeanS  float64 // by people and share, of those who are reached; NaN: nobody ever is
	// Reached is the expected people and area that anybody reaches at all.
	Reached Band
}

// ExpectedCell is one cell over all situations.
type ExpectedCell struct {
	Reached float64 // the share of situations in which somebody gets there
	MeanS   float64 // the mean of the typical time in those; NaN: never
	// BestS and WorstS are the times in the best and the worst situation that has a
	// share; +Inf where nobody is reached.
	BestS, WorstS float64
	Within        []float64 // the share of situations in which it is within each limit of BandsS
}

// Expect weighs results of the same demand by their shares, which need not add up
// to 1.
func Expect(results []*Result, shares []float64) (*Expected, error) {
	total, err := checkMix(results, shares)
	if err != nil {
		return nil, err
	}
	times, chances := make([]float64, len(results)), make([]float64, len(results))
	return expect(results[0].Demand, func(i int) ([]float64, []float64) {
		for k, r := range results {
			times[k], chances[k] = r.Outcomes[i].Seconds(), shares[k]/total
		}
		return times, chances
	}), nil
}

// expect weighs the times that a cell may have by their chances, which add up to 1. What
// has no chance counts for nothing.
func expect(d *Demand, of func(cell int) (times, chances []float64)) *Expected {
	e := &Expected{Demand: d, Cells: make([]ExpectedCell, len(d.Cells)), People: d.People(), MeanS: math.NaN(),
		Reached: Band{WithinS: math.Inf(1)}}
	for _, limit := range BandsS {
		e.Bands = append(e.Bands, Band{WithinS: limit})
	}
	sum, weight := 0.0, 0.0
	for i := range e.Cells {
		times, chances := of(i)
		c := &e.Cells[i]
		*c = ExpectedCell{MeanS: math.NaN(), BestS: math.Inf(1), WorstS: math.Inf(-1), Within: make([]float64, len(BandsS))}
		seconds := 0.0
		for k, t := range times {
			chance := chances[k]
			if chance == 0 {
				continue
			}
			c.BestS, c.WorstS = min(c.BestS, t), max(c.WorstS, t)
			if math.IsInf(t, 1) {
				continue
			}
			c.Reached += chance
			seconds += chance * t
			for n, limit := range BandsS {
				if t <= limit {
					c.Within[n] += chance
				}
			}
		}
		if c.Reached > 0 {
			c.MeanS = max(c.BestS, min(seconds/c.Reached, c.WorstS)) // rounding aside, it lies between
			sum += d.Cells[i].People * seconds
			weight += d.Cells[i].People * c.Reached
		}
		e.Reached.add(&d.Cells[i], c.Reached)
		for n := range e.Bands {
			e.Bands[n].add(&d.Cells[i], c.Within[n])
		}
	}
	if weight > 0 {
		e.MeanS = sum / weight
	}
	return e
}

func (b *Band) add(c *Cell, share float64) {
	b.People += c.People * share
	b.AreaM2 += c.AreaM2 * share
}

func checkMix(results []*Result, shares []float64) (total float64, err error) {
	if len(results) == 0 || len(results) != len(shares) {
		return 0, errors.New("a mix needs at least one situation, and a share for each")
	}
	for k, s := range shares {
		if !(s >= 0) || math.IsInf(s, 1) {
			return 0, fmt.Errorf("the share of situation %d is %g, not a finite number from 0", k, s)
		}
		if len(results[k].Outcomes) != len(results[0].Outcomes) {
			return 0, fmt.Errorf("situation %d has another demand than the first", k)
		}
		total += s
	}
	if !(total > 0) || math.IsInf(total, 1) {
		return 0, errors.New("the shares add up to nothing")
	}
	return total, nil
}
