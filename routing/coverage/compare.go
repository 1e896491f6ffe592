package coverage

import (
	"errors"
	"math"
)

// Difference is what a change does, cell by cell.
type Difference struct {
	Before, After *Result
	// LongerS is how much longer it takes after the change, in seconds; negative:
	// sooner. -Inf: only then anybody is reached, +Inf: only before, NaN: never.
	LongerS []float64
	Bands   []Change
	Sooner  Band // who has a time that is shorter, by any amount
	Later   Band
	Ranges  *Ranges // what it may be as durations vary; nil until Draw
}

// Change is who comes within a limit, and who falls out of it.
type Change struct {
	WithinS       float64
	Gained, Lost  float64 // people
	GainedM2      float64 // square metres
	LostM2        float64
	Before, After float64 // people within the limit
}

// Compare sets two results of the same demand side by side.
func Compare(before, after *Result) (*Difference, error) {
	if len(before.Outcomes) != len(after.Outcomes) {
		return nil, errors.New("the two results have other cells: run both over the same demand")
	}
	for i := range before.Demand.Cells {
		if before.Demand.Cells[i].At != after.Demand.Cells[i].At {
			return nil, errors.New("the two results have other cells: run both over the same demand")
		}
	}
	d := &Difference{Before: before, After: after, LongerS: make([]float64, len(before.Outcomes))}
	for _, limit := range BandsS {
		d.Bands = append(d.Bands, Change{WithinS: limit})
	}
	for i := range d.LongerS {
		was, is, c := before.Outcomes[i].Seconds(), after.Outcomes[i].Seconds(), &before.Demand.Cells[i]
		d.LongerS[i] = is - was
		switch {
		case is < was:
			d.Sooner.add(c, 1)
		case is > was:
			d.Later.add(c, 1)
		}
		for n := range d.Bands {
			d.Bands[n].count(c, was, is)
		}
	}
	return d, nil
}

func (b *Change) count(c *Cell, was, is float64) {
	if was <= b.WithinS {
		b.Before += c.People
		if is > b.WithinS {
			b.Lost += c.People
			b.LostM2 += c.AreaM2
		}
	}
	if is <= b.WithinS {
		b.After += c.People
		if was > b.WithinS {
			b.Gained += c.People
			b.GainedM2 += c.AreaM2
		}
	}
}

// Effect is what a change does to a cell, in one word.
type Effect string

// The effects. What comes to less than half a second is the same.
const (
	Sooner      Effect = "sooner"
	Later       Effect = "later"
	Same        Effect = "same"
	OnlyAfter   Effect = "only_after"  // nobody was reached before
	OnlyBefore  Effect = "only_before" // nobody is reached any more
	NeverAtAll  Effect = "not_reached"
	leastEffect        = 0.5 // seconds
)

// Effect is what the change does to a cell.
func (d *Difference) Effect(cell int) Effect {
	switch s := d.LongerS[cell]; {
	case math.IsNaN(s):
		return NeverAtAll
	case math.IsInf(s, 1):
		return OnlyBefore
	case math.IsInf(s, -1):
		return OnlyAfter
	case s <= -leastEffect:
		return Sooner
	case s >= leastEffect:
		return Later
	}
	return Same
}

// MeanGainS is how much sooner people are with a surgeon on average, in seconds, of
// those who are reached both before and after; 0 where nobody is.
func (d *Difference) MeanGainS() float64 {
	sum, people := 0.0, 0.0
	for i, s := range d.LongerS {
		if !math.IsNaN(s) && !math.IsInf(s, 0) {
			sum -= s * d.Before.Demand.Cells[i].People
			people += d.Before.Demand.Cells[i].People
		}
	}
	if people == 0 {
		return 0
	}
	return sum / people
}
