package siting

import (
	"cmp"
	"math"
	"slices"
)

// part is a part of all choices: those within bounds on each site's units.
type part struct {
	lower, upper []int
	mult         []float64
	bound        float64 // no choice of the part has a smaller value
	often        []float64
	serial       int // the order in which parts were made
}

// The subgradient ascent. Common practice, no source: the step is halved when
// the bound has not risen for a while, and the ascent ends when steps are small.
const (
	firstStep   = 1.5
	smallStep   = 0.002
	patience    = 12
	rootRounds  = 1500
	innerRounds = 120
	smoothing   = 0.1
)

// ascend raises a part's bound as far as a number of rounds does, tries the choices
// on the way, and narrows the part by what a better choice could not have. It
// reports whether anything of the part is left.
func (s *search) ascend(p *part, rounds int) bool {
	n, sites := s.m.demands(), s.m.sites()
	mult := slices.Clone(p.mult)
	g, scores, step := make([]float64, n), make([]float64, sites), firstStep
	stale := 0
	p.often = nil
	for round := range rounds {
		if round%16 == 0 && s.ctx.Err() != nil {
			return true
		}
		constant := s.m.price(mult, scores)
		units, last, next, ok := s.pick(p, scores)
		if !ok {
			return false
		}
		bound := constant
		for j, u := range units {
			bound += scores[j] * float64(u)
		}
		s.smooth(p, units)
		if math.IsInf(p.bound, -1) || bound > p.bound+tolerance*math.Abs(p.bound) {
			p.bound, p.mult, stale = max(bound, p.bound), slices.Clone(mult), 0
		} else if stale++; stale >= patience {
			step, stale = step/2, 0
		}
		s.try(units, round)
		if s.beaten(bound) {
			p.bound = max(p.bound, bound)
			return false
		}
		s.narrow(p, units, scores, bound, last, next)
		if step < smallStep {
			break
		}
		s.m.ascent(mult, units, g)
		var norm float64
		for _, v := range g {
			norm += v * v
		}
		if norm == 0 {
			break // the bound cannot rise
		}
		length := step * max(s.best-bound, 1e-6*(1+math.Abs(bound))) / norm
		for i, v := range g {
			mult[i] += length * v
			if mult[i] < 0 && !s.m.signed() {
				mult[i] = 0
			}
		}
	}
	return !s.beaten(p.bound)
}

// pick is the best units within the part's bounds under the scores, with the
// worst score that is taken freely and the best that is left.
func (s *search) pick(p *part, scores []float64) (units []int, last, next float64, ok bool) {
	units = slices.Clone(p.lower)
	left := s.count
	order := s.order[:0]
	for j := range units {
		left -= units[j]
		if p.upper[j] > p.lower[j] {
			order = append(order, j)
		}
	}
	s.order = order
	if left < 0 {
		return nil, 0, 0, false
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(scores[a], scores[b]), cmp.Compare(a, b)) })
	last, next = math.Inf(-1), math.Inf(1)
	for _, j := range order {
		room := p.upper[j] - p.lower[j]
		take := min(room, left)
		units[j] += take
		left -= take
		if take > 0 {
			last = scores[j]
		}
		if take < room {
			next = scores[j]
			break
		}
	}
	return units, last, next, left == 0
}

// narrow fixes what no choice better than the best can have: a unit more or
// less at a site that would raise the bound past it.
func (s *search) narrow(p *part, units []int, scores []float64, bound, last, next float64) {
	for j, u := range units {
		if p.lower[j] == p.upper[j] {
			continue
		}
		if u < p.upper[j] && s.beaten(bound+scores[j]-last) {
			p.upper[j] = u
		}
		if u > p.lower[j] && s.beaten(bound-scores[j]+next) {
			p.lower[j] = u
		}
	}
}

func (s *search) smooth(p *part, units []int) {
	if p.often == nil {
		p.often = make([]float64, len(units))
		for j, u := range units {
			p.often[j] = float64(u)
		}
		return
	}
	for j, u := range units {
		p.often[j] += smoothing * (float64(u) - p.often[j])
	}
}
