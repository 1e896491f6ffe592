package calibrate

import "math"

// sample is what a curve is fitted to: distances and times by their
// logarithms, all of one length.
type sample struct {
	metres, logM, logS []float64
}

func (s *sample) len() int { return len(s.logS) }

// biweight is the tuning constant of Tukey's biweight: 95 % efficient on
// normal errors, no weight at all beyond 4.685 standard deviations (Huber,
// Robust Statistics, from memory).
const biweight = 4.685

// maxSearch is how many journeys the first search looks at: it needs a good
// neighbourhood, not the last digit.
const maxSearch = 2000

// search finds parameters by least absolute deviation of the logarithm, which
// fits the median and which gross errors in fewer than half of the journeys
// cannot carry away. It starts from several places, because the branches of a
// curve make valleys of their own.
func (s *sample) search(c curve) [2]float64 {
	part := s.thin(maxSearch)
	absolute := func(_ int, residual float64) float64 { return 1 / (math.Abs(residual) + 1e-4) }
	best, bestSum := [2]float64{}, math.Inf(1)
	for _, start := range c.starts() {
		p := part.descend(c, start, 10, absolute)
		sum := 0.0
		for _, r := range part.residuals(c, p) {
			sum += math.Abs(r)
		}
		if sum < bestSum {
			best, bestSum = p, sum
		}
	}
	return part.descend(c, best, 40, absolute)
}

// thin is an even choice of at most n journeys.
func (s *sample) thin(n int) *sample {
	stride := (s.len() + n - 1) / n
	if stride <= 1 {
		return s
	}
	out := &sample{}
	for i := 0; i < s.len(); i += stride {
		out.metres = append(out.metres, s.metres[i])
		out.logM = append(out.logM, s.logM[i])
		out.logS = append(out.logS, s.logS[i])
	}
	return out
}

// improve moves p to the nearest minimum of the biweight of the residuals in
// their standard deviations sd, each journey counted times[i] times (nil: once).
func (s *sample) improve(c curve, p [2]float64, sd, times []float64, steps int) [2]float64 {
	return s.descend(c, p, steps, func(i int, residual float64) float64 {
		u := residual / (biweight * sd[i])
		if u <= -1 || u >= 1 || times != nil && times[i] == 0 {
			return 0
		}
		w := (1 - u*u) / sd[i]
		if times != nil {
			return w * w * times[i]
		}
		return w * w
	})
}

// descend is Gauss and Newton's method of least squares of the residuals, with
// weights made new at every step. No step is longer than a factor of 1.65, and
// none leaves the bounds.
func (s *sample) descend(c curve, p [2]float64, steps int, weight func(i int, residual float64) float64) [2]float64 {
	low, high := c.bounds()
	for range steps {
		var aa, ab, bb, ra, rb float64
		for i := range s.logS {
			logS, slope := c.at(p, s.metres[i], s.logM[i])
			residual := s.logS[i] - logS
			w := weight(i, residual)
			aa += w * slope[0] * slope[0]
			ab += w * slope[0] * slope[1]
			bb += w * slope[1] * slope[1]
			ra += w * slope[0] * residual
			rb += w * slope[1] * residual
		}
		// A little damping, for journeys that tell nothing of one parameter.
		damp := 1e-9 * (aa + bb)
		aa, bb = aa+damp, bb+damp
		det := aa*bb - ab*ab
		if !(det > 0) {
			return p
		}
		step := [2]float64{(bb*ra - ab*rb) / det, (aa*rb - ab*ra) / det}
		moved := 0.0
		for k := range p {
			to := min(max(p[k]+min(max(step[k], -0.5), 0.5), low[k]), high[k])
			moved = max(moved, math.Abs(to-p[k]))
			p[k] = to
		}
		if moved < 1e-7 {
			break
		}
	}
	return p
}

// residuals are the logarithms of the times over the curve's.
func (s *sample) residuals(c curve, p [2]float64) []float64 {
	out := make([]float64, s.len())
	for i := range out {
		logS, _ := c.at(p, s.metres[i], s.logM[i])
		out[i] = s.logS[i] - logS
	}
	return out
}

// widths are how wide the intervals of both logarithms are by the curvature at
// p, infinite where the journeys cannot tell a parameter at all: when all of
// them are equally long, say. A bootstrap does not see that, because it never
// moves along a direction in which nothing changes.
func (s *sample) widths(c curve, p [2]float64, sd []float64) [2]float64 {
	var aa, ab, bb float64
	for i := range s.logS {
		_, slope := c.at(p, s.metres[i], s.logM[i])
		w := 1 / (sd[i] * sd[i])
		aa += w * slope[0] * slope[0]
		ab += w * slope[0] * slope[1]
		bb += w * slope[1] * slope[1]
	}
	det := aa*bb - ab*ab
	if !(det > 1e-10*aa*bb) {
		return [2]float64{math.Inf(1), math.Inf(1)}
	}
	return [2]float64{2 * z95 * math.Sqrt(bb/det), 2 * z95 * math.Sqrt(aa/det)}
}
