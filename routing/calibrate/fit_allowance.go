package calibrate

import (
	"math"
	"slices"

	"surgeonward/facilities"
)

// allowanceFit is the two figures of one allowance.
type allowanceFit struct {
	sorted    []float64 // durations in line, seconds
	outOfLine []int     // rows of the rest
}

func fitAllowance(items []item) allowanceFit {
	values := make([]float64, len(items))
	for i := range items {
		values[i] = items[i].logS
	}
	var f allowanceFit
	for i, kept := range inLine(values) {
		if kept {
			f.sorted = append(f.sorted, items[i].DurationS)
		} else {
			f.outOfLine = append(f.outOfLine, items[i].Row)
		}
	}
	slices.Sort(f.sorted)
	return f
}

func (f allowanceFit) timing() facilities.Timing {
	return facilities.Timing{TypicalS: quantile(f.sorted, typicalShare), SlowS: quantile(f.sorted, slowShare)}
}

func (f allowanceFit) finish(to *Finding, now facilities.Timing) {
	to.OutOfLine = f.outOfLine
	timing := f.timing()
	typical, slow := quantileInterval(f.sorted, typicalShare), quantileInterval(f.sorted, slowShare)
	to.Estimates = append(to.Estimates,
		estimate(to.Stage+" typical_s", "s", now.TypicalS, timing.TypicalS, typical),
		estimate(to.Stage+" slow_s", "s", now.SlowS, timing.SlowS, slow))
	if slow.High == nil {
		to.note("too few to set an upper limit to the slow figure: %d are needed", fewestForSlow())
	}
}

// fewestForSlow is how many values it takes for the largest to be above the
// 9-in-10 figure with the confidence of an interval's one side.
func fewestForSlow() int {
	return int(math.Ceil(math.Log((1-Level)/2) / math.Log(slowShare)))
}
