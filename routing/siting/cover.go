package siting

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// MaxCover chooses Count sites so that the weight of the demands within
// radiusS seconds of one of them is the greatest. Value and bound are weights
// covered. Church & ReVelle 1974. It is expected cover with nobody busy.
func MaxCover(ctx context.Context, p *Problem, radiusS float64, effort Effort) (Solution, error) {
	if err := errors.Join(checkRadius(radiusS), p.Check()); err != nil {
		return Solution{}, err
	}
	total := p.Total()
	r := solve(ctx, p.expected(radiusS, 0), p.bounds(1), effort.from(total), total, math.Inf(1))
	return r.covered(total), nil
}

// bounds let every choice have the kept sites, and at most so many units at a site.
func (p *Problem) bounds(most int) bounds {
	b := bounds{make([]int, len(p.TimesS)), make([]int, len(p.TimesS)), p.Count}
	for j := range b.upper {
		b.upper[j] = most
	}
	for _, j := range p.Keep {
		b.lower[j] = 1
	}
	for _, j := range p.Full {
		b.upper[j] = 1
	}
	if most == 1 {
		b.count = min(b.count, len(p.TimesS))
	}
	return b
}

func checkRadius(radiusS float64) error {
	if !(radiusS >= 0) || math.IsInf(radiusS, 1) {
		return fmt.Errorf("the radius is %g, not a finite number of seconds from 0", radiusS)
	}
	return nil
}

// from turns progress about what is missing into progress about what is there.
func (e Effort) from(total float64) Effort {
	if told := e.Progress; told != nil {
		e.Progress = func(value, bound float64) { told(total-value, total-bound) }
	}
	return e
}

// covered is a result about what is missing as a solution about what is there.
func (r *result) covered(total float64) Solution {
	return Solution{Sites: chosen(r.units), Value: total - r.value, Bound: total - r.bound, Nodes: r.nodes, Found: true}
}
