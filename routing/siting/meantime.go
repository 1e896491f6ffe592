package siting

import (
	"context"
	"fmt"
	"math"
)

// MeanTime chooses Count sites so that the sum of weight times seconds to the
// nearest of them is the least: the p-median, Hakimi 1964. Value and bound are
// weighted seconds; divided by Total they are means. A demand that nobody
// reaches, or only after lostS seconds, counts lostS; it may be +Inf only where
// every site reaches every demand.
func MeanTime(ctx context.Context, p *Problem, lostS float64, effort Effort) (Solution, error) {
	if err := p.Check(); err != nil {
		return Solution{}, err
	}
	if !(lostS >= 0 && lostS <= MaxTimeS) && !math.IsInf(lostS, 1) {
		return Solution{}, fmt.Errorf("a demand that nobody reaches counts %g, not seconds from 0 to %g", lostS, MaxTimeS)
	}
	costs := make([][]float64, len(p.TimesS))
	for j, row := range p.TimesS {
		costs[j] = make([]float64, len(row))
		for i, t := range row {
			t = min(t, lostS)
			if math.IsInf(t, 1) {
				return Solution{}, fmt.Errorf("site %d does not reach demand %d: say how many seconds count for a demand that nobody reaches", j, i)
			}
			costs[j][i] = p.Weights[i] * t
		}
	}
	r := solve(ctx, newMedian(costs), p.bounds(1), effort, 0, math.Inf(1))
	return Solution{Sites: chosen(r.units), Value: r.value, Bound: r.bound, Nodes: r.nodes, Found: true}, nil
}
