package siting

import "context"

// model is an objective to be made small, in the form that multipliers take apart:
//
//	constant(multipliers) + sum over sites of score(site, multipliers) * units(site)
//
// is at most the least value of all choices, for any multipliers.
type model interface {
	demands() int
	sites() int
	// price puts the sites' scores under the multipliers and returns the constant.
	price(mult, scores []float64) float64
	// ascent puts the direction in which the bound rises from the multipliers,
	// the units being the best under them.
	ascent(mult []float64, units []int, g []float64)
	// signed reports whether multipliers may be negative.
	signed() bool
	// value is the objective of a choice: never negative.
	value(units []int) float64
	// begin puts multipliers to start with, near a good choice.
	begin(units []int, mult []float64)
	// greedy fills the lower units up to count, each time with what helps most, and
	// with what comes first once the context has ended.
	greedy(ctx context.Context, lower, upper []int, count int) []int
	// improve makes a choice better by exchanges of one unit, as far as that goes,
	// within the bounds on units and until the context ends, and returns its value.
	improve(ctx context.Context, units, lower, upper []int) float64
	// step divides every value there can be; 0: nothing is known.
	step() float64
}

// chosen lists the sites of units, ascending, each as often as it has units.
func chosen(units []int) []int {
	out := []int{}
	for j, n := range units {
		for range n {
			out = append(out, j)
		}
	}
	return out
}
