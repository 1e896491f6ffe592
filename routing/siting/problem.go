package siting

import (
	"errors"
	"fmt"
	"math"
)

// Problem is demands, sites where something may be put, and the times between.
type Problem struct {
	Weights []float64   // people or incidents at each demand: from 0 to MaxWeight
	TimesS  [][]float64 // by site, then demand: seconds from 0 to MaxTimeS; +Inf where the site cannot serve the demand
	Keep    []int       // sites that are in every choice, such as the present bases; each once
	Full    []int       // kept sites that take no second unit, where an objective lets units stand together
	Count   int         // how many sites a choice has, Keep included: all, where there are fewer; FullCover takes no notice of it
}

// The limits on a problem.
const (
	MaxSites   = 20_000
	MaxDemands = 5_000_000
	MaxPairs   = 200_000_000 // sites times demands
	MaxUnits   = 1_000       // of ExpectedCover
	MaxWeight  = 1e12        // of a demand: beyond it sums lose people to rounding
	MaxTimeS   = 1e9         // finite, 32 years
)

// Check says everything that is wrong with the problem.
func (p *Problem) Check() error {
	return p.check(p.Count)
}

func (p *Problem) check(count int) error {
	sites, demands := len(p.TimesS), len(p.Weights)
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if sites < 1 || sites > MaxSites || demands < 1 || demands > MaxDemands || sites*demands > MaxPairs {
		return fmt.Errorf("%d sites and %d demands are not 1 to %d and 1 to %d, at most %d pairs", sites, demands, MaxSites, MaxDemands, MaxPairs)
	}
	if count < 1 {
		fault("count is %d, not at least 1", count)
	}
	if len(p.Keep) > count {
		fault("%d sites are kept, but only %d are to be chosen", len(p.Keep), count)
	}
	kept := map[int]bool{}
	for _, j := range p.Keep {
		if j < 0 || j >= sites || kept[j] {
			fault("keep names site %d twice, or there is none", j)
		}
		kept[j] = true
	}
	for _, j := range p.Full {
		if !kept[j] {
			fault("full names site %d, which is not kept", j)
		}
	}
	for i, w := range p.Weights {
		if !(w >= 0 && w <= MaxWeight) {
			fault("the weight of demand %d is %g, not from 0 to %g", i, w, MaxWeight)
			break
		}
	}
	for j, row := range p.TimesS {
		if len(row) != demands {
			fault("site %d has %d times for %d demands", j, len(row), demands)
			break
		}
		if i := wrongTime(row); i >= 0 {
			fault("the time from site %d to demand %d is %g, not seconds from 0 to %g, nor +Inf for a demand that the site does not reach", j, i, row[i], MaxTimeS)
			break
		}
	}
	return errors.Join(faults...)
}

func wrongTime(row []float64) int {
	for i, t := range row {
		if !(t >= 0 && t <= MaxTimeS) && !math.IsInf(t, 1) {
			return i
		}
	}
	return -1
}

// Total is the sum of all weights.
func (p *Problem) Total() float64 {
	return sum(p.Weights)
}
