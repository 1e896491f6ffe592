package siting

import (
	"cmp"
	"math"
	"slices"
)

// mostNear bounds the pairs that are put into lists by cost, and the exchanges that are worked
// out in one pass: 12 bytes for each of the first, 8 for each of the second.
const (
	mostNear      = 30_000_000
	mostExchanges = 4_000_000
)

// near is each demand's sites in the order of their costs: multipliers and exchanges are only about
// the few that are nearer than a demand's second site.
type near struct {
	sites int
	site  []int32   // by demand, then place in its order
	cost  []float64 // the same
	last  exchanges // whose memory the next ones take
}

// newNear is nil where there are too many pairs.
func newNear(costs [][]float64) *near {
	sites := len(costs)
	demands := len(costs[0])
	if sites*demands > mostNear {
		return nil
	}
	n := &near{sites: sites, site: make([]int32, sites*demands), cost: make([]float64, sites*demands)}
	for i := range demands {
		order := n.site[i*sites : (i+1)*sites]
		for j := range order {
			order[j] = int32(j)
		}
		slices.SortFunc(order, func(a, b int32) int { return cmp.Or(cmp.Compare(costs[a][i], costs[b][i]), cmp.Compare(a, b)) })
		for k, j := range order {
			n.cost[i*sites+k] = costs[j][i]
		}
	}
	return n
}

// of is a demand's sites and their costs, the least first.
func (n *near) of(demand int) ([]int32, []float64) {
	from, to := demand*n.sites, (demand+1)*n.sites
	return n.site[from:to], n.cost[from:to]
}

// price is median.price: the same sums in the same order, without those that are nothing.
func (n *near) price(mult, scores []float64) {
	clear(scores)
	for i, v := range mult {
		sites, costs := n.of(i)
		for k, c := range costs {
			if c >= v {
				break
			}
			scores[sites[k]] += c - v
		}
	}
}

// exchanges is what every exchange of one site changes, from one pass over the demands (Resende &
// Werneck 2007): a site that leaves costs loss[o], a site that comes saves gain[j], and
// of a loss that much is saved by the one that comes: extra[j*len(loss)+o].
type exchanges struct {
	out               []int // the sites of a choice
	loss, gain, extra []float64
}

// exchanges is nil where there are too many. It holds until the next call.
func (n *near) exchanges(units []int, first []float64, at []int, second []float64) *exchanges {
	x := &n.last
	x.out, x.gain = x.out[:0], zeros(x.gain, n.sites)
	place := make([]int, n.sites)
	for j, u := range units {
		if u > 0 {
			place[j] = len(x.out)
			x.out = append(x.out, j)
		}
	}
	p := len(x.out)
	switch {
	case p == 0:
		x.gain = nil // nothing to exchange
		return x
	case p*n.sites > mostExchanges:
		return nil
	}
	x.loss, x.extra = zeros(x.loss, p), zeros(x.extra, p*n.sites)
	for i := range first {
		sites, costs := n.of(i)
		o, next := place[at[i]], second[i]
		if math.IsInf(next, 1) {
			next = costs[len(costs)-1] // the only site leaves: nobody is farther than the farthest
		}
		x.loss[o] += next - first[i]
		for k, c := range costs {
			if c >= next {
				break
			}
			j := int(sites[k])
			if c < first[i] {
				x.gain[j] += first[i] - c
				x.extra[j*p+o] += next - first[i]
			} else {
				x.extra[j*p+o] += next - c
			}
		}
	}
	return x
}

// zeros is n of them, in the memory of v where it has room.
func zeros(v []float64, n int) []float64 {
	if cap(v) < n {
		return make([]float64, n)
	}
	v = v[:n]
	clear(v)
	return v
}

// best is the exchange that changes the value most, below a limit; in is -1 where there is none.
func (x *exchanges) best(units, lower, upper []int, limit float64) (in, out int) {
	best := limit
	in, out = -1, -1
	for j, gain := range x.gain {
		if units[j] > 0 || upper[j] == 0 {
			continue
		}
		for k, o := range x.out {
			if lower[o] > 0 {
				continue
			}
			if change := x.loss[k] - x.extra[j*len(x.out)+k] - gain; change < best {
				best, in, out = change, j, o
			}
		}
	}
	return in, out
}
