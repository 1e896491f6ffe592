package siting

import (
	"errors"
	"fmt"
	"math"
)

// Problem is demands, sites where something may be put, and the times between.
type Problem struct {
	Weights []float64   // people or incidents at each demand: finite, not negative
	TimesS  [][]float64 // by site, then demand: seconds, not negative; +Inf where the site cannot serve the demand
	Keep    []int       // sites that are in every choice, such as the present bases; each once
	Count   int         // how many sites a choice has, Keep included; FullCover takes no notice of it
}

// The limits on a problem.
const (
	MaxSites   = 20_000
	MaxDemands = 5_000_000
	MaxPairs   = 200_000_000 // sites times demands
)

// What a demand has that no site reaches, and the longest time of one that is reached.
var (
	unreached = math.Inf(1)
	maxTime   = math.MaxFloat64
)

// Check says everything that is wrong with the problem.
func (p *Problem) Check() error {
	sites, demands := len(p.TimesS), len(p.Weights)
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if sites < 1 || sites > MaxSites || demands < 1 || demands > MaxDemands || sites*demands > MaxPairs {
		return fmt.Errorf("%d sites and %d demands are not 1 to %d and 1 to %d, at most %d pairs", sites, demands, MaxSites, MaxDemands, MaxPairs)
	}
	if p.Count < 1 {
		fault("count is %d, not at least 1", p.Count)
	}
	if len(p.Keep) > p.Count {
		fault("%d sites are kept, but only %d are to be chosen", len(p.Keep), p.Count)
	}
	kept := map[int]bool{}
	for _, j := range p.Keep {
		if j < 0 || j >= sites || kept[j] {
			fault("keep names site %d twice, or there is none", j)
		}
		kept[j] = true
	}
	for i, w := range p.Weights {
		if !(w >= 0) || math.IsInf(w, 1) {
			fault("the weight of demand %d is %g, not a finite number from 0", i, w)
			break
		}
	}
	for j, row := range p.TimesS {
		if len(row) != demands {
			fault("site %d has %d times for %d demands", j, len(row), demands)
			break
		}
		if i := wrongTime(row); i >= 0 {
			fault("the time from site %d to demand %d is %g, not a number of seconds from 0", j, i, row[i])
			break
		}
	}
	return errors.Join(faults...)
}

func wrongTime(row []float64) int {
	for i, t := range row {
		if !(t >= 0) {
			return i
		}
	}
	return -1
}

// Total is the sum of all weights.
func (p *Problem) Total() float64 {
	var sum float64
	for _, w := range p.Weights {
		sum += w
	}
	return sum
}
