package siting_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/routing/siting"
)

// draw makes a small problem with every oddity: all weights or some of zero, sites
// that reach nobody, all times equal or some, all endless, several kept sites, fewer
// sites than are to be chosen, weights and times that rounding or rounding up harms.
func draw(t *rapid.T) *siting.Problem {
	sites, demands := rapid.IntRange(1, 7).Draw(t, "sites"), rapid.IntRange(1, 9).Draw(t, "demands")
	far := math.Inf(1)
	time := rapid.SampledFrom([]*rapid.Generator[float64]{
		rapid.OneOf(rapid.Float64Range(0, 4000), rapid.SampledFrom([]float64{0, 600, 1200, 1800, far})),
		rapid.Float64Range(0, 4000),
		rapid.SampledFrom([]float64{0, 600, 601, 1200, far}),
		rapid.SampledFrom([]float64{0, 1, siting.MaxTimeS, far}),
		rapid.Just(600.0),
		rapid.Just(far),
	}).Draw(t, "kind of times")
	weight := rapid.SampledFrom([]*rapid.Generator[float64]{
		rapid.OneOf(rapid.Float64Range(0, 1e6), rapid.SampledFrom([]float64{0, 1, 2})),
		rapid.SampledFrom([]float64{0, 0.1, 0.2, 0.3}),
		rapid.SampledFrom([]float64{1, 1000, siting.MaxWeight}),
		rapid.Just(1.0),
		rapid.Just(0.0),
	}).Draw(t, "kind of weights")
	p := &siting.Problem{Count: rapid.IntRange(1, sites+1).Draw(t, "count")}
	for range demands {
		p.Weights = append(p.Weights, weight.Draw(t, "weight"))
	}
	for range sites {
		p.TimesS = append(p.TimesS, rapid.SliceOfN(time, demands, demands).Draw(t, "times"))
	}
	if rapid.Bool().Draw(t, "keep") {
		p.Keep = rapid.SliceOfNDistinct(rapid.IntRange(0, sites-1), 1, min(sites, p.Count), rapid.ID[int]).Draw(t, "kept")
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

const (
	share      = 1e-6  // of a value: far above the difference that counts as none
	lastDigits = 1e-12 // of all that is summed up: what a small value loses beside huge ones
)

// TestEveryChoice holds every objective to all choices there are. Source: the
// definitions of the objectives.
func TestEveryChoice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		radius := rapid.SampledFrom([]float64{0, 600, 1500, 4000}).Draw(t, "radius")
		busy := rapid.SampledFrom([]float64{0, 0.3, 0.9}).Draw(t, "busy")
		const lost = 3000
		near := func(v float64) float64 { return share*(1+math.Abs(v)) + lastDigits*lost*p.Total() }
		best := func(value siting.Value, greater, several bool) float64 {
			out := math.Inf(1)
			if greater {
				out = math.Inf(-1)
			}
			count := p.Count
			if !several {
				count = min(count, len(p.TimesS))
			}
			choices(p, count, several, func(sites []int) {
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
			assert.InDelta(t, want, s.Value, near(want), name)
			assert.InDelta(t, s.Value, value(s.Sites), near(want), "%s: the value is not that of its sites", name)
			assert.True(t, s.Proven(), "%s: value %g, bound %g", name, s.Value, s.Bound)
			assert.True(t, slices.IsSorted(s.Sites), name)
			for _, j := range p.Keep {
				assert.Contains(t, s.Sites, j, name)
			}
		}
		// cut holds what a search that is cut short says to what is best.
		cut := func(name string, s siting.Solution, err error, value siting.Value, greater, several bool) {
			require.NoError(t, err, name)
			want := best(value, greater, several)
			if !s.Found {
				assert.LessOrEqual(t, s.Bound, want, name)
				return
			}
			got, bound := value(s.Sites), s.Bound
			assert.InDelta(t, s.Value, got, near(got), name)
			if greater {
				want, got, bound = -want, -got, -bound
			}
			assert.LessOrEqual(t, bound, want+near(want), "%s: a choice is better than the bound", name)
			assert.GreaterOrEqual(t, got, want-near(want), name)
		}
		cover, err := siting.MaxCover(t.Context(), p, radius, siting.Effort{})
		check("most covered", cover, err, p.Covered(radius), true, false)
		mean, err := siting.MeanTime(t.Context(), p, lost, siting.Effort{})
		check("least mean", mean, err, p.Seconds(lost), false, false)
		worst, err := siting.WorstTime(t.Context(), p, siting.Effort{})
		check("least worst", worst, err, p.Longest(), false, false)
		busyCover, err := siting.ExpectedCover(t.Context(), p, radius, busy, siting.Effort{})
		check("expected", busyCover, err, p.ExpectedCovered(radius, busy), true, true)

		ended, cancel := context.WithCancel(t.Context())
		cancel()
		for _, short := range []struct {
			ctx    context.Context
			effort siting.Effort
		}{{t.Context(), siting.Effort{Nodes: 1}}, {ended, siting.Effort{}}, {t.Context(), siting.Effort{Gap: 0.2}}} {
			cover, err := siting.MaxCover(short.ctx, p, radius, short.effort)
			cut("most covered, cut short", cover, err, p.Covered(radius), true, false)
			mean, err := siting.MeanTime(short.ctx, p, lost, short.effort)
			cut("least mean, cut short", mean, err, p.Seconds(lost), false, false)
			worst, err := siting.WorstTime(short.ctx, p, short.effort)
			cut("least worst, cut short", worst, err, p.Longest(), false, false)
			busyCover, err := siting.ExpectedCover(short.ctx, p, radius, busy, short.effort)
			cut("expected, cut short", busyCover, err, p.ExpectedCovered(radius, busy), true, true)
		}

		fewest := math.Inf(1)
		for count := len(p.Keep); count <= len(p.TimesS) && math.IsInf(fewest, 1); count++ {
			choices(p, count, false, func(sites []int) {
				if reached(p, sites, radius) {
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

// TestRuggedChoices holds sums and searches that are cut short to all choices where
// times follow no map: exchanges alone end at choices that are not the best, so that
// a bound which cuts off too much shows. Source: the definitions of the objectives.
func TestRuggedChoices(t *testing.T) {
	const radius = 3
	for seed := range uint64(150) {
		p := rugged(30, 13, seed)
		p.Count = 3 + int(seed%4)
		if seed%3 == 0 {
			p.Keep = []int{int(seed % 13)}
		}
		cover, mean, worst := 0.0, math.Inf(1), math.Inf(1)
		covered, seconds, longest := p.Covered(radius), p.Seconds(100), p.Longest()
		choices(p, p.Count, false, func(sites []int) {
			cover, mean, worst = max(cover, covered(sites)), min(mean, seconds(sites)), min(worst, longest(sites))
		})
		c, err := siting.MaxCover(t.Context(), p, radius, siting.Effort{})
		require.NoError(t, err)
		assert.Equal(t, cover, c.Value, "seed %d", seed)
		m, err := siting.MeanTime(t.Context(), p, 100, siting.Effort{})
		require.NoError(t, err)
		assert.InEpsilon(t, mean, m.Value, share, "seed %d", seed)
		w, err := siting.WorstTime(t.Context(), p, siting.Effort{})
		require.NoError(t, err)
		assert.Equal(t, worst, w.Value, "seed %d", seed)
		w, err = siting.WorstTime(t.Context(), p, siting.Effort{Nodes: 1})
		require.NoError(t, err)
		assert.LessOrEqual(t, w.Bound, worst, "seed %d", seed)
		m, err = siting.MeanTime(t.Context(), p, 100, siting.Effort{Nodes: 2})
		require.NoError(t, err)
		assert.LessOrEqual(t, m.Bound, mean*(1+share), "seed %d", seed)
	}
}

// rugged is seeded times between sites and demands that have nothing to do with
// each other, whole seconds for every other seed.
func rugged(demands, sites int, seed uint64) *siting.Problem {
	r := rand.New(rand.NewPCG(seed, 2))
	p := &siting.Problem{}
	for range demands {
		p.Weights = append(p.Weights, float64(1+r.IntN(5)))
	}
	for range sites {
		times := make([]float64, demands)
		for i := range times {
			times[i] = 10 * r.Float64()
			if seed%2 == 0 {
				times[i] = math.Ceil(times[i])
			}
		}
		p.TimesS = append(p.TimesS, times)
	}
	return p
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
