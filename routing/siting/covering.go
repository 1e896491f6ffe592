package siting

import (
	"context"
	"math/bits"
	"slices"
)

// covering asks whether some sites reach every demand within a radius. It is
// reduced: a demand that is covered whenever another one is, and a site that
// covers nothing that another one does not, are left out (Toregas & ReVelle 1973).
type covering struct {
	problem    *Problem
	costs      [][]float64 // by site, then remaining demand: 0 where it is covered, else 1
	open       []bool      // by site: it is not left out
	impossible bool        // a demand is covered by no site
}

func (p *Problem) covering(radiusS float64) *covering {
	c := &covering{problem: p, open: make([]bool, len(p.TimesS))}
	var rows []set // by demand: the sites that cover it
	for i, w := range p.Weights {
		if w == 0 {
			continue
		}
		row := newSet(len(p.TimesS))
		for j, times := range p.TimesS {
			if times[i] <= radiusS {
				row.add(j)
			}
		}
		if row.empty() {
			c.impossible = true
			return c
		}
		rows = append(rows, row)
	}
	rows = minimal(rows)
	columns := make([]set, len(p.TimesS)) // by site: the demands that it covers
	for j := range columns {
		columns[j] = newSet(len(rows))
		for i, row := range rows {
			if row.has(j) {
				columns[j].add(i)
			}
		}
	}
	c.close(columns)
	c.costs = make([][]float64, len(columns))
	for j, column := range columns {
		c.costs[j] = make([]float64, len(rows))
		for i := range rows {
			if !column.has(i) {
				c.costs[j][i] = 1
			}
		}
	}
	return c
}

// close leaves out sites that cover nothing that another open one does not.
func (c *covering) close(columns []set) {
	for j := range c.open {
		c.open[j] = true
	}
	for j, column := range columns {
		if slices.Contains(c.problem.Keep, j) {
			continue
		}
		for k, other := range columns {
			if k != j && c.open[k] && column.in(other) && (k < j || !other.in(column)) {
				c.open[j] = false
				break
			}
		}
	}
}

// within looks for at most count sites that cover everything. Known is false
// where the effort was spent before there was an answer.
func (c *covering) within(ctx context.Context, count int, effort Effort) (sites []int, known bool, nodes int) {
	if c.impossible {
		return nil, true, 0
	}
	b := c.problem.bounds(1)
	b.count = 0
	for j, open := range c.open {
		if !open {
			b.upper[j] = 0
		}
		b.count += b.upper[j]
	}
	b.count = min(b.count, count)
	r := solve(ctx, newMedian(c.costs), b, Effort{Nodes: effort.Nodes}, 0, 0)
	if r.value == 0 {
		return chosen(r.units), true, r.nodes
	}
	return nil, r.bound > 0, r.nodes
}

// set is a set of small whole numbers.
type set []uint64

func newSet(n int) set       { return make(set, (n+63)/64) }
func (s set) add(i int)      { s[i/64] |= 1 << (i % 64) }
func (s set) has(i int) bool { return s[i/64]&(1<<(i%64)) != 0 }
func (s set) empty() bool    { return s.size() == 0 }

// in reports whether every member of s is in the other set.
func (s set) in(other set) bool {
	for i, w := range s {
		if w&^other[i] != 0 {
			return false
		}
	}
	return true
}

func (s set) size() int {
	n := 0
	for _, w := range s {
		n += bits.OnesCount64(w)
	}
	return n
}

// mostCompared bounds the pairs of demands that are compared with each other.
const mostCompared = 4_000

// minimal drops sets that hold another one.
func minimal(rows []set) []set {
	slices.SortStableFunc(rows, func(a, b set) int {
		if n := a.size() - b.size(); n != 0 {
			return n
		}
		return slices.Compare(a, b)
	})
	rows = slices.CompactFunc(rows, func(a, b set) bool { return slices.Equal(a, b) })
	if len(rows) > mostCompared {
		return rows
	}
	kept := rows[:0:0]
	for _, row := range rows {
		if !slices.ContainsFunc(kept, func(k set) bool { return k.in(row) }) {
			kept = append(kept, row)
		}
	}
	return kept
}
