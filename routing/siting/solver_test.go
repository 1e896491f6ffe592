package siting_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/siting"
)

// program is a mixed integer program about which sites are open (y) in the LP
// format of glpsol.
type program struct {
	goal, rows, bounds strings.Builder
	sites              int
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

// solved is the best value that glpsol proves.
func (g *program) solved(t *testing.T, sense string) float64 {
	t.Helper()
	solver, err := exec.LookPath("glpsol")
	if err != nil {
		t.Skip("glpsol is not installed: no comparison with another exact solver")
	}
	var text strings.Builder
	fmt.Fprintf(&text, "%s\n%sSubject To\n%sBounds\n%sBinary\n", sense, &g.goal, &g.rows, &g.bounds)
	for j := range g.sites {
		fmt.Fprintf(&text, " y%d\n", j)
	}
	text.WriteString("End\n")
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.lp"), filepath.Join(dir, "out.txt")
	require.NoError(t, os.WriteFile(in, []byte(text.String()), 0o600))
	said, err := exec.CommandContext(t.Context(), solver, "--lp", in, "--write", out).CombinedOutput()
	require.NoError(t, err, "%s", said)
	answer, err := os.ReadFile(out)
	require.NoError(t, err)
	for line := range strings.Lines(string(answer)) {
		// s mip ROWS COLUMNS STATUS VALUE, the status o being optimal
		if f := strings.Fields(line); len(f) == 6 && f[0] == "s" && f[1] == "mip" && f[4] == "o" {
			v, err := strconv.ParseFloat(f[5], 64)
			require.NoError(t, err)
			return v
		}
	}
	t.Fatalf("glpsol proved nothing:\n%s", said)
	return 0
}

// TestAnotherSolver holds medians and covers of seeded instances of up to 200
// demands to GLPK, which solves them as mixed integer programs. Source: the
// formulations of ReVelle & Swain 1970 for the median, Church & ReVelle 1974 and
// Toregas et al. 1971 for covering.
func TestAnotherSolver(t *testing.T) {
	const (
		radius   = 700
		together = 1300 // all sites cover everybody
	)
	for _, tt := range []struct {
		demands, sites, count int
		keep                  []int
		seed                  uint64
	}{
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
			assert.InEpsilon(t, asMedian(p).solved(t, "Minimize"), median.Value, 1e-7)
			cover, err := siting.MaxCover(t.Context(), p, radius, siting.Effort{})
			require.NoError(t, err)
			assert.True(t, cover.Proven())
			assert.InEpsilon(t, asCover(p, radius).solved(t, "Maximize"), cover.Value, 1e-9)
			full, err := siting.FullCover(t.Context(), p, together, siting.Effort{})
			require.NoError(t, err)
			assert.True(t, full.Proven())
			assert.InDelta(t, asFullCover(p, together).solved(t, "Minimize"), full.Value, 1e-9)
		})
	}
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
			cost = append(cost, fmt.Sprintf("+ %.17g %s", w*p.TimesS[j][i], x))
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
		people = append(people, fmt.Sprintf("+ %.17g %s", w, z))
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
