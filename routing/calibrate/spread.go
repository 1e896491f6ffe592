package calibrate

import (
	"math"
	"slices"

	"surgeonward/routing/road"
)

// variation is the square of the coefficient of variation of road travel times
// over their median of m minutes, short/m² + along/m + whole: the form of
// road.Spread, with b0 (b2+1), b1 (b2+1) and b2 in one number each. None is
// negative.
type variation struct{ short, along, whole float64 }

func (v variation) spread() road.Spread {
	return road.Spread{B0Min2: v.short / (1 + v.whole), B1Min: v.along / (1 + v.whole), B2: v.whole}
}

// square is the squared coefficient of variation at 1/m = perMin.
func (v variation) square(perMin float64) float64 {
	return (v.short*perMin+v.along)*perMin + v.whole
}

// sd is the standard deviation of the logarithm of a lognormal of that
// coefficient of variation: its square is ln(1+c²).
func (v variation) sd(perMin float64) float64 {
	return math.Sqrt(max(math.Log1p(v.square(perMin)), least*least))
}

// scatter is what a variation is fitted to: residuals of the logarithm about
// the median, and one over the median in minutes.
type scatter struct{ residual, perMin []float64 }

// bin is how many journeys give one first look at the spread, at least.
const bin = 25

// start matches the form to the spread seen in up to eight bins of medians,
// each by the median of the absolute residuals about 0: not about their own
// median, because the spread must cover what the median gets wrong.
func (s *scatter) start() variation {
	order := make([]int, len(s.perMin))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case s.perMin[a] < s.perMin[b]:
			return -1
		case s.perMin[a] > s.perMin[b]:
			return 1
		}
		return 0
	})
	bins := min(max(len(order)/bin, 1), 8)
	var e normal
	for b := range bins {
		part := order[b*len(order)/bins : (b+1)*len(order)/bins]
		values := make([]float64, len(part))
		for i, k := range part {
			values[i] = s.residual[k]
		}
		sd := madToSD * medianAbs(values)
		square := math.Expm1(max(sd*sd, least*least))
		e.add(s.perMin[part[len(part)/2]], square, 1/(square*square))
	}
	return e.solve()
}

// improve moves v towards the variation that the squares of all residuals
// within the fence say, each weighted by how sure it is: the variance of the
// square of a normal deviate is twice the square of its variance.
func (s *scatter) improve(v variation, times []float64, steps int) variation {
	for range steps {
		var e normal
		for i, r := range s.residual {
			if times != nil && times[i] == 0 {
				continue
			}
			square := v.square(s.perMin[i])
			variance := math.Log1p(square)
			if variance < least*least {
				variance, square = least*least, math.Expm1(least*least)
			}
			if r*r > fence*fence*variance {
				continue
			}
			// ln(1+c²) by its tangent: what c² would make this square expected.
			seen := square + (r*r/fenced-variance)*(1+square)
			weight := 1 / (variance * variance * (1 + square) * (1 + square))
			if times != nil {
				weight *= times[i]
			}
			e.add(s.perMin[i], seen, weight)
		}
		v = e.solve()
	}
	return v
}

// normal are the normal equations of the three terms of a variation.
type normal struct {
	moments [5]float64 // of perMin, powers 0 to 4
	sums    [3]float64 // of what was seen times perMin, powers 0 to 2
}

func (e *normal) add(perMin, seen, weight float64) {
	w := weight
	for k := range e.moments {
		e.moments[k] += w
		if k < len(e.sums) {
			e.sums[k] += w * seen
		}
		w *= perMin
	}
}

// solve returns the least squares among terms of 0 or more: of all choices of
// which terms are there, the best that has none below 0.
func (e *normal) solve() variation {
	best, bestGain := [3]float64{}, 0.0
	for choice := 1; choice < 8; choice++ {
		x, ok := e.chosen(choice)
		if !ok {
			continue
		}
		// At a least-squares solution the sum of squares falls by x·sums.
		gain := x[0]*e.sums[0] + x[1]*e.sums[1] + x[2]*e.sums[2]
		if gain > bestGain {
			best, bestGain = x, gain
		}
	}
	return variation{short: best[2], along: best[1], whole: best[0]}
}

// chosen solves for the terms whose bits are set; false where they cannot be
// told apart or one is negative.
func (e *normal) chosen(choice int) (x [3]float64, ok bool) {
	var terms []int
	for k := range 3 {
		if choice&(1<<k) != 0 {
			terms = append(terms, k)
		}
	}
	// Elimination on a matrix scaled to a unit diagonal.
	n := len(terms)
	var a [3][4]float64
	var scale [3]float64
	for i, k := range terms {
		scale[i] = math.Sqrt(e.moments[2*k])
		if !(scale[i] > 0) {
			return x, false
		}
	}
	for i, k := range terms {
		for j, l := range terms {
			a[i][j] = e.moments[k+l] / (scale[i] * scale[j])
		}
		a[i][3] = e.sums[k] / scale[i]
	}
	for i := range n {
		if a[i][i] < 1e-9 {
			return x, false
		}
		for j := i + 1; j < n; j++ {
			f := a[j][i] / a[i][i]
			for k := i; k < 4; k++ {
				a[j][k] -= f * a[i][k]
			}
		}
	}
	for i := n - 1; i >= 0; i-- {
		v := a[i][3]
		for j := i + 1; j < n; j++ {
			v -= a[i][j] * x[j] // solved so far, by place
		}
		x[i] = v / a[i][i]
	}
	out := [3]float64{}
	for i, k := range terms {
		if out[k] = x[i] / scale[i]; !(out[k] >= 0) {
			return out, false
		}
	}
	return out, true
}
