package busy

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// ErrUnsettled says that no shares were found that repeat themselves.
var ErrUnsettled = errors.New("the shares do not settle: rates or service times are too far apart for the model")

// Exact solves the hypercube model for up to MaxExact units. It is exact to about 1e-12
// where each unit has one service time. Where service times differ by atom, the
// chain gets each unit's mean over the calls that it takes, found by repetition (Larson &
// Odoni 1981, section 5.4): the shares are then approximate, within 0.01 on random fleets.
func Exact(ctx context.Context, s *System) (*Result, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	if len(s.ServiceS) > MaxExact {
		return nil, fmt.Errorf("there are %d units, and the exact model takes at most %d: use Approximate", len(s.ServiceS), MaxExact)
	}
	g := groupAtoms(s)
	c := newChain(g)
	serviceH := g.usualH
	for range maxRepeats {
		c.free = make([]float64, g.units)
		var most float64
		for u, h := range serviceH {
			c.free[u] = 1 / h
			most += c.free[u]
		}
		if s.Line && g.rate >= most {
			return nil, fmt.Errorf("%w: %.4g calls come per hour and the units can take %.4g", ErrOverloaded, g.rate, most)
		}
		if err := c.settle(ctx); err != nil {
			return nil, err
		}
		r, shares := c.result(g, s.Line)
		next := g.serviceH(shares)
		if near(serviceH, next) {
			r.fill(g, shares, s.Line)
			return r, nil
		}
		serviceH = next
	}
	return nil, ErrUnsettled
}

// The repetitions that find mean service times.
const (
	maxRepeats = 500
	repeated   = 1e-12 // relative change that ends them
)

func near(a, b []float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > repeated*a[i] {
			return false
		}
	}
	return true
}

// result reads busy units and the groups' shares off the chain. With a line, the full
// state stands also for every length of the line, which it is left for and entered from
// in balance: each call more in the line is g.rate / most times as likely as one fewer.
func (c *chain) result(g *grouped, line bool) (*Result, [][]float64) {
	full := len(c.p) - 1
	r := &Result{Busy: make([]float64, c.units), States: append([]float64{}, c.p...)}
	var most float64
	for _, f := range c.free {
		most += f
	}
	if line {
		grows := g.rate / most
		tail := r.States[full] / (1 - grows)
		sum := 1 - r.States[full] + tail
		r.States[full] = tail
		for s := range r.States {
			r.States[s] /= sum
		}
		r.WaitShare = r.States[full]
		r.InLine = r.WaitShare * grows / (1 - grows)
		if g.rate > 0 {
			r.MeanWaitS = r.InLine / g.rate * hourS
		}
	}
	for s, v := range r.States {
		for u := range c.units {
			if s>>u&1 == 1 {
				r.Busy[u] += v
			}
		}
	}
	shares := make([][]float64, len(g.groups))
	for i := range g.groups {
		shares[i] = make([]float64, c.units)
		for s, v := range r.States {
			if k := firstFree(g.groups[i].order, s); k >= 0 {
				shares[i][g.groups[i].order[k]] += v
			}
		}
		for u := range shares[i] {
			if line { // whoever is free first takes the next call
				shares[i][u] += r.WaitShare * c.free[u] / most
			}
		}
	}
	return r, shares
}
