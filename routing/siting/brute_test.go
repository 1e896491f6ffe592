package siting_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/routing/siting"
)

// draw makes a small problem with every oddity: weights of zero, sites that
// reach nobody, equal times, kept sites.
func draw(t *rapid.T) *siting.Problem {
	sites, demands := rapid.IntRange(1, 7).Draw(t, "sites"), rapid.IntRange(1, 9).Draw(t, "demands")
	time := rapid.OneOf(
		rapid.Float64Range(0, 4000),
		rapid.SampledFrom([]float64{0, 600, 1200, 1800, math.Inf(1)}),
	)
	weight := rapid.OneOf(rapid.Float64Range(0, 1e6), rapid.SampledFrom([]float64{0, 1, 2}))
	p := &siting.Problem{Count: rapid.IntRange(1, sites).Draw(t, "count")}
	for range demands {
		p.Weights = append(p.Weights, weight.Draw(t, "weight"))
	}
	for range sites {
		p.TimesS = append(p.TimesS, rapid.SliceOfN(time, demands, demands).Draw(t, "times"))
	}
	if rapid.Bool().Draw(t, "keep") {
		p.Keep = []int{rapid.IntRange(0, sites-1).Draw(t, "kept")}
	}
	return p
}

// choices calls each with every choice of count units, several at a site or not.
func choices(p *siting.Problem, count int, several bool, each func(sites []int)) {
	var rec func(from int, sites []int)
	rec = func(from int, sites []int) {
		if len(sites) == count {
			for _, j := range p.Keep {
				if !slices.Contains(sites, j) {
					return
				}
			}
			each(sites)
			return
		}
		for j := from; j < len(p.TimesS); j++ {
			next := j + 1
			if several {
				next = j
			}
			rec(next, append(slices.Clone(sites), j))
		}
	}
	rec(0, nil)
}

const share = 1e-6

// TestEveryChoice holds every objective to all choices there are. Source: the
// definitions of the objectives.
func TestEveryChoice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		radius := rapid.SampledFrom([]float64{0, 600, 1500, 4000}).Draw(t, "radius")
		busy := rapid.SampledFrom([]float64{0, 0.3, 0.9}).Draw(t, "busy")
		const lost = 3000
		best := func(value siting.Value, greater, several bool) float64 {
			out := math.Inf(1)
			if greater {
				out = math.Inf(-1)
			}
			choices(p, p.Count, several, func(sites []int) {
				if v := value(sites); greater == (v > out) && v != out {
					out = v
				}
			})
			return out
		}
		check := func(name string, s siting.Solution, err error, value siting.Value, greater, several bool) {
			require.NoError(t, err, name)
			want := best(value, greater, several)
			if math.IsInf(want, 1) {
				assert.False(t, s.Found, name)
				return
			}
			require.True(t, s.Found, name)
			assert.InDelta(t, want, s.Value, share*(1+want), name)
			assert.InDelta(t, s.Value, value(s.Sites), share*(1+want), "%s: the value is not that of its sites", name)
			assert.InDelta(t, want, s.Bound, share*(1+want), "%s: the bound is not closed", name)
			for _, j := range p.Keep {
				assert.Contains(t, s.Sites, j, name)
			}
		}
		cover, err := siting.MaxCover(t.Context(), p, radius, siting.Effort{})
		check("most covered", cover, err, p.Covered(radius), true, false)
		mean, err := siting.MeanTime(t.Context(), p, lost, siting.Effort{})
		check("least mean", mean, err, p.Seconds(lost), false, false)
		worst, err := siting.WorstTime(t.Context(), p, siting.Effort{})
		check("least worst", worst, err, p.Longest(), false, false)
		busyCover, err := siting.ExpectedCover(t.Context(), p, radius, busy, siting.Effort{})
		check("expected", busyCover, err, p.ExpectedCovered(radius, busy), true, true)

		fewest := math.Inf(1)
		for count := len(p.Keep); count <= len(p.TimesS) && math.IsInf(fewest, 1); count++ {
			choices(p, count, false, func(sites []int) {
				if p.Covered(radius)(sites) >= p.Total()*(1-1e-12) && reached(p, sites, radius) {
					fewest = float64(count)
				}
			})
		}
		full, err := siting.FullCover(t.Context(), p, radius, siting.Effort{})
		require.NoError(t, err)
		require.Equal(t, !math.IsInf(fewest, 1), full.Found)
		if full.Found {
			assert.Equal(t, fewest, full.Value)
			assert.True(t, full.Proven())
			assert.True(t, reached(p, full.Sites, radius))
		}
	})
}

func reached(p *siting.Problem, sites []int, radius float64) bool {
	for i, w := range p.Weights {
		if w > 0 && !slices.ContainsFunc(sites, func(j int) bool { return p.TimesS[j][i] <= radius }) {
			return false
		}
	}
	return true
}

// TestMoreIsNoWorse: one more site never covers less nor takes longer. Source:
// identity, a choice with one more site holds one with fewer.
func TestMoreIsNoWorse(t *testing.T) {
	p := scattered(60, 12, 3)
	var cover, mean, worst float64
	for count := 1; count <= len(p.TimesS); count++ {
		p.Count = count
		c, err := siting.MaxCover(t.Context(), p, 900, siting.Effort{})
		require.NoError(t, err)
		m, err := siting.MeanTime(t.Context(), p, 1e5, siting.Effort{})
		require.NoError(t, err)
		w, err := siting.WorstTime(t.Context(), p, siting.Effort{})
		require.NoError(t, err)
		assert.GreaterOrEqual(t, c.Value, cover)
		if count > 1 {
			assert.LessOrEqual(t, m.Value, mean)
			assert.LessOrEqual(t, w.Value, worst)
		}
		cover, mean, worst = c.Value, m.Value, w.Value
	}
}

// scattered is seeded demands and sites on a square, ten metres a second.
func scattered(demands, sites int, seed uint64) *siting.Problem {
	r := rand.New(rand.NewPCG(seed, 1))
	type point struct{ x, y float64 }
	at := func() point { return point{r.Float64() * 30_000, r.Float64() * 30_000} }
	p := &siting.Problem{Count: 1}
	where := make([]point, demands)
	for i := range where {
		where[i] = at()
		p.Weights = append(p.Weights, math.Floor(r.Float64()*1000))
	}
	for range sites {
		s := at()
		row := make([]float64, demands)
		for i, d := range where {
			row[i] = math.Hypot(d.x-s.x, d.y-s.y) / 10
		}
		p.TimesS = append(p.TimesS, row)
	}
	return p
}
