package busy

import (
	"context"
	"math/bits"
)

// chain is the Markov chain over sets of busy units without a line. A set is a state, unit
// u its bit 1<<u.
type chain struct {
	units int
	send  []float64 // by state, then unit: calls per hour for which the unit is sent
	free  []float64 // by unit: 1 / hours of service
	order []int     // states by number of busy units
	p     []float64 // share of the time of each state
}

func newChain(g *grouped) *chain {
	n, states := g.units, 1<<g.units
	c := &chain{units: n, send: make([]float64, states*n), order: make([]int, 0, states), p: make([]float64, states)}
	for level := range n + 1 {
		for s := range states {
			if bits.OnesCount(uint(s)) == level {
				c.order = append(c.order, s)
			}
		}
	}
	for i := range g.groups {
		for s := range states {
			if k := firstFree(g.groups[i].order, s); k >= 0 {
				c.send[s*n+g.groups[i].order[k]] += g.groups[i].rate
			}
		}
	}
	return c
}

// firstFree is the place in the order of the first unit that is free; -1: none.
func firstFree(order []int, state int) int {
	for k, u := range order {
		if state>>u&1 == 0 {
			return k
		}
	}
	return -1
}

// The end of the rounds: no state's share changes by more, and no unit's balance is off
// by more.
const (
	settled   = 1e-14
	maxRounds = 20_000
)

// settle solves the balance of the states: Gauss-Seidel rounds, each followed by exact
// balancing of whole parts of the states, without which a unit with seldom or long calls
// would take very many rounds. It goes on from the shares that are there.
func (c *chain) settle(ctx context.Context) error {
	leave := c.leaving()
	if leave[0] == 0 { // no calls that anybody is sent to
		clear(c.p)
		c.p[0] = 1
		return nil
	}
	if c.p[0] == 0 {
		c.begin(leave)
	}
	before := make([]float64, len(c.p))
	for range maxRounds {
		if err := ctx.Err(); err != nil {
			return err
		}
		copy(before, c.p)
		for _, s := range c.order {
			c.p[s] = c.entering(s) / leave[s]
		}
		for u := range c.units {
			c.balanceUnit(u)
		}
		c.balanceLevels()
		var change float64
		for s, v := range c.p {
			change = max(change, v-before[s], before[s]-v)
		}
		if change <= settled {
			return nil
		}
	}
	return ErrUnsettled
}

// begin gives a share to each state that can come about; no other ever gets one.
func (c *chain) begin(leave []float64) {
	c.p[0] = 1
	var sum float64
	for _, s := range c.order {
		if s != 0 {
			c.p[s] = c.entering(s) / leave[s]
		}
		sum += c.p[s]
	}
	c.scale(sum)
}

// leaving is the rate at which each state is left.
func (c *chain) leaving() []float64 {
	out := make([]float64, len(c.p))
	for s := range out {
		for u := range c.units {
			out[s] += c.send[s*c.units+u]
			if s>>u&1 == 1 {
				out[s] += c.free[u]
			}
		}
	}
	return out
}

// entering is the rate at which a state is entered.
func (c *chain) entering(s int) float64 {
	var sum float64
	for u := range c.units {
		from := s ^ 1<<u
		if s>>u&1 == 1 {
			sum += c.p[from] * c.send[from*c.units+u]
		} else {
			sum += c.p[from] * c.free[u]
		}
	}
	return sum
}

// balanceUnit weighs the states with the unit free against those with it busy, so that it
// is sent as often as it becomes free.
func (c *chain) balanceUnit(u int) {
	var sent, freed float64
	for s, v := range c.p {
		if s>>u&1 == 1 {
			freed += v * c.free[u]
		} else {
			sent += v * c.send[s*c.units+u]
		}
	}
	if sent == 0 || freed == 0 {
		return
	}
	var sum float64
	for s := range c.p {
		if s>>u&1 == 1 {
			c.p[s] *= sent / freed
		}
		sum += c.p[s]
	}
	c.scale(sum)
}

// balanceLevels weighs the states by their number of busy units, so that each number is
// passed upwards as often as downwards.
func (c *chain) balanceLevels() {
	up, down := make([]float64, c.units+1), make([]float64, c.units+1)
	for s, v := range c.p {
		level := bits.OnesCount(uint(s))
		for u := range c.units {
			up[level] += v * c.send[s*c.units+u]
			if s>>u&1 == 1 {
				down[level] += v * c.free[u]
			}
		}
	}
	weight := make([]float64, c.units+1)
	weight[0] = 1
	for level := 1; level <= c.units; level++ {
		weight[level] = weight[level-1]
		if down[level] > 0 {
			weight[level] *= up[level-1] / down[level]
		}
	}
	var sum float64
	for s := range c.p {
		c.p[s] *= weight[bits.OnesCount(uint(s))]
		sum += c.p[s]
	}
	c.scale(sum)
}

func (c *chain) scale(sum float64) {
	for s := range c.p {
		c.p[s] /= sum
	}
}
