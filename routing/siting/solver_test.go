package siting_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/siting"
)

// program is a mixed integer program about which sites are open (y).
type program struct {
	goal, rows, bounds strings.Builder
	sites              int
	units              int // at most at one site; 0: 1
}

// row adds terms, then a relation; an empty one ends a goal.
func row(to *strings.Builder, terms []string, relation string) {
	fmt.Fprintf(to, " %s %s\n", strings.Join(terms, "\n  "), relation)
}

// open says how many sites there are in a choice, and which always.
func (g *program) open(p *siting.Problem) {
	g.sites = len(p.TimesS)
	var terms []string
	for j := range p.TimesS {
		terms = append(terms, fmt.Sprintf("+ y%d", j))
	}
	row(&g.rows, terms, fmt.Sprintf("= %d", p.Count))
	for _, j := range p.Keep {
		row(&g.rows, []string{fmt.Sprintf("+ y%d", j)}, "= 1")
	}
}

// solved is the best value that the solver proves.
func (g *program) solved(t *testing.T, by solver, sense string) float64 {
	t.Helper()
	value, proven := by.solve(t, g, sense, time.Minute)
	require.True(t, proven, "%s proved nothing", by.name)
	return value
}

// TestOtherSolvers holds every objective on seeded instances of up to 400 demands to GLPK and
// CBC, which solve them as mixed integer programs. Source: the formulations of ReVelle & Swain
// 1970 for the median, Church & ReVelle 1974 and Toregas et al. 1971 for covering, Daskin 1983
// for expected cover (two units at one site allowed), Daskin 1995 for the centre.
func TestOtherSolvers(t *testing.T) {
	const (
		radius   = 700
		together = 1300 // all sites cover everybody
		busy     = 0.4
	)
	for _, by := range solvers {
		t.Run(by.name, func(t *testing.T) {
			by.path(t)
			for _, tt := range []struct {
				demands, sites, count int
				keep                  []int
				seed                  uint64
			}{
				{400, 25, 5, nil, 7},
				{200, 30, 4, nil, 1},
				{200, 20, 6, []int{3, 7}, 2},
				{120, 40, 5, []int{0}, 3},
				{40, 40, 12, nil, 4},
				{60, 25, 25, nil, 5},
				{80, 30, 1, nil, 6},
			} {
				t.Run(fmt.Sprintf("%d demands, %d of %d sites, seed %d", tt.demands, tt.count, tt.sites, tt.seed), func(t *testing.T) {
					p := scattered(tt.demands, tt.sites, tt.seed)
					p.Count, p.Keep = tt.count, tt.keep
					median, err := siting.MeanTime(t.Context(), p, 1e6, siting.Effort{})
					require.NoError(t, err)
					assert.True(t, median.Proven())
					assert.InEpsilon(t, asMedian(p).solved(t, by, "Minimize"), median.Value, 1e-7)
					cover, err := siting.MaxCover(t.Context(), p, radius, siting.Effort{})
					require.NoError(t, err)
					assert.True(t, cover.Proven())
					assert.InEpsilon(t, asCover(p, radius).solved(t, by, "Maximize"), cover.Value, 1e-7)
					full, err := siting.FullCover(t.Context(), p, together, siting.Effort{})
					require.NoError(t, err)
					assert.True(t, full.Proven())
					assert.InDelta(t, asFullCover(p, together).solved(t, by, "Minimize"), full.Value, 1e-9)
				})
			}
			for _, seed := range []uint64{11, 12, 14} {
				t.Run(fmt.Sprintf("expected cover and centre, seed %d", seed), func(t *testing.T) {
					p := scattered(60, 12, seed)
					p.Count = 4
					cover, err := siting.ExpectedCover(t.Context(), p, radius, busy, siting.Effort{})
					require.NoError(t, err)
					assert.True(t, cover.Proven())
					assert.InEpsilon(t, asExpectedCover(p, radius, busy).solved(t, by, "Maximize"), cover.Value, 1e-7)
					centre, err := siting.WorstTime(t.Context(), p, siting.Effort{})
					require.NoError(t, err)
					assert.True(t, centre.Proven())
					assert.InEpsilon(t, asCentre(p).solved(t, by, "Minimize"), centre.Value, 1e-7)
				})
			}
		})
	}
}

// asExpectedCover counts a demand once for each unit near it (z), each for less than the one before.
func asExpectedCover(p *siting.Problem, radius, busy float64) *program {
	g := &program{units: p.Count}
	g.open(p)
	var people []string
	for i, w := range p.Weights {
		terms := near(p, i, radius)
		for k := range p.Count {
			z := fmt.Sprintf("z%d_%d", i, k)
			people = append(people, fmt.Sprintf("+ %.17f %s", w*(1-busy)*math.Pow(busy, float64(k)), z))
			fmt.Fprintf(&g.bounds, " 0 <= %s <= 1\n", z)
			terms = append(terms, "- "+z)
		}
		row(&g.rows, terms, ">= 0")
	}
	row(&g.goal, people, "")
	return g
}

// asCentre gives each demand (x) to one open site, none of them farther than z.
func asCentre(p *siting.Problem) *program {
	g := asMedian(p)
	g.goal.Reset()
	row(&g.goal, []string{"+ z"}, "")
	for i, w := range p.Weights {
		if w == 0 {
			continue
		}
		terms := []string{"+ z"}
		for j := range p.TimesS {
			terms = append(terms, fmt.Sprintf("- %.17f x%d_%d", p.TimesS[j][i], i, j))
		}
		row(&g.rows, terms, ">= 0")
	}
	return g
}

// asMedian gives each demand (x) to one open site.
func asMedian(p *siting.Problem) *program {
	g := &program{}
	g.open(p)
	var cost []string
	for i, w := range p.Weights {
		var given []string
		for j := range p.TimesS {
			x := fmt.Sprintf("x%d_%d", i, j)
			cost = append(cost, fmt.Sprintf("+ %.17f %s", w*p.TimesS[j][i], x))
			given = append(given, "+ "+x)
			row(&g.rows, []string{"+ " + x, fmt.Sprintf("- y%d", j)}, "<= 0")
		}
		row(&g.rows, given, "= 1")
	}
	row(&g.goal, cost, "")
	return g
}

// near is the open sites that cover a demand, as terms.
func near(p *siting.Problem, demand int, radius float64) []string {
	var terms []string
	for j, times := range p.TimesS {
		if times[demand] <= radius {
			terms = append(terms, fmt.Sprintf("+ y%d", j))
		}
	}
	return terms
}

// asCover counts a demand (z) of which a site is near.
func asCover(p *siting.Problem, radius float64) *program {
	g := &program{}
	g.open(p)
	var people []string
	for i, w := range p.Weights {
		z := fmt.Sprintf("z%d", i)
		people = append(people, fmt.Sprintf("+ %.17f %s", w, z))
		fmt.Fprintf(&g.bounds, " 0 <= %s <= 1\n", z)
		row(&g.rows, slices.Concat(near(p, i, radius), []string{"- " + z}), ">= 0")
	}
	row(&g.goal, people, "")
	return g
}

// asFullCover has a site near every demand.
func asFullCover(p *siting.Problem, radius float64) *program {
	g := &program{sites: len(p.TimesS)}
	var sites []string
	for j := range p.TimesS {
		sites = append(sites, fmt.Sprintf("+ y%d", j))
	}
	row(&g.goal, sites, "")
	for _, j := range p.Keep {
		row(&g.rows, []string{fmt.Sprintf("+ y%d", j)}, "= 1")
	}
	for i, w := range p.Weights {
		if w > 0 {
			row(&g.rows, near(p, i, radius), ">= 1")
		}
	}
	return g
}
