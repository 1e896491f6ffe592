package coverage_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

func distanceM(a, b orb.Point) float64 { return geo.Distance(a, b) }

// scattered is a demand of points with people.
func scattered(random *rand.Rand, n int, metres float64) *coverage.Demand {
	var cells []coverage.Cell
	for i := range n {
		cells = append(cells, coverage.Cell{At: geo.Destination(middle, random.Float64()*360, random.Float64()*metres),
			People: float64(random.IntN(1000)), Name: fmt.Sprintf("place %d", i)})
	}
	return coverage.AtPoints(cells)
}

// TestRunIsTheDesk: every cell is the first option of the desk's answer there, also
// with the first asset away, whatever the number of workers. Source: identity.
func TestRunIsTheDesk(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		random := rand.New(rand.NewPCG(seed, 1))
		e, d := crowd(random, 60_000).engine(t), scattered(random, 6, 80_000)
		plan := coverage.Plan{Engine: e, Demand: d, Situation: situation(), Second: true, Workers: 3}
		r, err := coverage.Run(t.Context(), plan)
		require.NoError(t, err)
		plan.Workers = 1
		alone, err := coverage.Run(t.Context(), plan)
		require.NoError(t, err)
		require.Equal(t, alone.Outcomes, r.Outcomes)
		typical, err := coverage.Run(t.Context(), plan.TypicalOnly())
		require.NoError(t, err)
		require.Equal(t, r.Times(), typical.Times())
		for i := range d.Cells {
			q := situation().Question
			q.Scene.Position, q.Limit = d.Cells[i].At, 1
			first := func() float64 {
				ans, err := e.Options(t.Context(), q)
				require.NoError(t, err)
				if len(ans.Options) == 0 {
					return math.Inf(1)
				}
				return ans.Options[0].Total.TypicalS
			}
			require.Equal(t, first(), r.Outcomes[i].Seconds(), "seed %d", seed)
			if r.Outcomes[i].Reached {
				q.Assets.States = []routing.StateChange{{Asset: r.Outcomes[i].Asset(), State: routing.Committed}}
				require.Equal(t, first()-r.Outcomes[i].Seconds(), r.Outcomes[i].LostS(), "seed %d", seed)
			}
		}
	})
}

// TestMoreNeverTakesLonger: a base with an ambulance or a helicopter, a hospital, a
// pad, a surgeon in the house. Source: definition of the best of more ways.
func TestMoreNeverTakesLonger(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		kind := rapid.IntRange(0, 3).Draw(rt, "what is added")
		region := func(more bool) *routing.Engine {
			random := rand.New(rand.NewPCG(seed, 2))
			f := crowd(random, 60_000)
			at := geo.Destination(middle, random.Float64()*360, random.Float64()*60_000)
			pad, presence := "", "on_call"
			switch {
			case more && kind == 0:
				f.asset("new", []string{"ambulance", "helicopter"}[random.IntN(2)], at)
			case more && kind == 1:
				f.hospital("new", at, "on_call")
			case more && kind == 2:
				pad = `,"pad":{"lit":true}`
			case more:
				presence = "resident"
			}
			return f.facility("old", "hospital", geo.Destination(middle, 10, 20_000), pad+`,"capabilities":["cardiothoracic_surgery"],
				"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":"`+presence+`"}}}`).engine(t)
		}
		d := scattered(rand.New(rand.NewPCG(seed, 3)), 12, 80_000)
		difference, err := coverage.Compare(run(t, region(false), d), run(t, region(true), d))
		require.NoError(t, err)
		for i, s := range difference.LongerS {
			require.False(t, s > 1e-9, "seed %d, cell %d is %g s later", seed, i, s)
		}
		for _, b := range difference.Bands {
			require.Zero(t, b.Lost)
		}
		require.Zero(t, difference.Later.People)
	})
}

// TestExpectation lies between the best and the worst situation, and people add up.
// Source: definition of a mean; identity.
func TestExpectation(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 4))
		e, d := crowd(random, 60_000).engine(t), scattered(random, 10, 80_000)
		var results []*coverage.Result
		var shares []float64
		for k := range 1 + random.IntN(3) {
			s := situation()
			s.Question.At = noon.Add(time.Duration(k) * 5 * time.Hour)
			if k > 0 {
				s.Question.Assets.States = []routing.StateChange{{Asset: "a0", State: routing.Committed}}
			}
			r, err := coverage.Run(t.Context(), coverage.Plan{Engine: e, Demand: d, Situation: s})
			require.NoError(t, err)
			results, shares = append(results, r), append(shares, random.Float64()*3+0.1)
		}
		x, err := coverage.Expect(results, shares)
		require.NoError(t, err)
		const tol = 1e-6
		for i, c := range x.Cells {
			if c.Reached > 0 {
				require.LessOrEqual(t, c.BestS, c.MeanS)
				require.LessOrEqual(t, c.MeanS, c.WorstS)
			}
			low, high := math.Inf(1), math.Inf(-1)
			for _, r := range results {
				low, high = min(low, r.Outcomes[i].Seconds()), max(high, r.Outcomes[i].Seconds())
			}
			require.Equal(t, []float64{low, high}, []float64{c.BestS, c.WorstS})
		}
		for n, b := range x.Bands {
			low, high := math.Inf(1), 0.0
			for _, r := range results {
				p := r.Summary().Bands[n].People
				low, high = min(low, p), max(high, p)
			}
			require.GreaterOrEqual(t, b.People, low-tol)
			require.LessOrEqual(t, b.People, high+tol)
		}
		require.LessOrEqual(t, x.Reached.People, x.People+tol)
		if len(results) == 1 {
			require.InDelta(t, results[0].Summary().Reached.People, x.Reached.People, tol)
		}
	})
}

// TestSummaryAddsUp: who is carried by assets, to hospitals and in shapes are all
// who are reached; the curve passes through the bands. Source: identity.
func TestSummaryAddsUp(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	r := run(t, crowd(random, 60_000).engine(t), scattered(random, 60, 90_000))
	s := r.Summary()
	const tol = 1e-9
	for _, loads := range [][]coverage.Load{s.Assets, s.Hospitals, s.Shapes} {
		sum := 0.0
		for _, l := range loads {
			sum += l.People
		}
		assert.InDelta(t, s.Reached.People, sum, tol)
	}
	for _, b := range s.Bands {
		at := s.Curve[int(b.WithinS/60)-1]
		assert.Equal(t, b.WithinS, at.WithinS)
		assert.InDelta(t, b.People, at.People, tol)
	}
	for i := 1; i < len(s.Curve); i++ {
		assert.GreaterOrEqual(t, s.Curve[i].People, s.Curve[i-1].People)
	}
	same, err := coverage.Compare(r, r)
	require.NoError(t, err)
	assert.Zero(t, same.MeanGainS())
	for _, b := range same.Bands {
		assert.Equal(t, []float64{0, 0, b.Before}, []float64{b.Gained, b.Lost, b.After}, "identity: a thing against itself")
	}
	for _, v := range same.LongerS {
		assert.Zero(t, v)
	}
}

// TestByHand: three places on a road from a hospital with an ambulance at its door.
// Source: arithmetic, 20 m/s there and back, gathering and losing speed at 1 m/s².
func TestByHand(t *testing.T) {
	e := (&toy{}).hospital("h", middle, "resident").asset("amb", "ambulance", middle).engine(t)
	var cells []coverage.Cell
	for i, m := range []float64{8_000, 16_000, 72_000} {
		cells = append(cells, coverage.Cell{At: geo.Destination(middle, 90, m), People: []float64{60, 35, 5}[i], Name: string(rune('a' + i))})
	}
	s := run(t, e, coverage.AtPoints(cells)).Summary()
	const tolS = 1e-6
	assert.InDelta(t, 2*(8_000/20+20), s.ByPeople.MedianS, tolS)
	assert.InDelta(t, 2*(16_000/20+20), s.ByPeople.P90S, tolS)
	within := []float64{}
	for _, b := range s.Bands {
		within = append(within, b.People)
	}
	assert.Equal(t, []float64{60, 95, 95, 95, 95, 95}, within, "14, 27.3 and 120.7 minutes")
	assert.Equal(t, "c", s.Worst[0].Name)
	assert.InDelta(t, 0.6*840+0.35*1640+0.05*7240, s.MeanS, tolS)
}

// TestRefiningConverges: on finer grids the share of the area within an hour comes
// near that of the finest. Source: definition of an integral.
func TestRefiningConverges(t *testing.T) {
	e := (&toy{}).hospital("h", middle, "resident").asset("heli", "helicopter", geo.Destination(middle, 70, 40_000)).
		asset("amb", "ambulance", geo.Destination(middle, 200, 30_000)).engine(t)
	share := func(cellM float64) float64 {
		s := run(t, e, coverage.OnGrid(grid(t, square(middle, 120_000), cellM), nil)).Summary()
		return s.Bands[3].AreaM2 / s.AreaM2
	}
	finest := share(4_000)
	assert.Less(t, math.Abs(share(8_000)-finest), 0.02)
	assert.Less(t, math.Abs(share(30_000)-finest), 0.15)
}

func TestRunEndsWithItsContext(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 6))
	ctx, cancel := context.WithCancel(t.Context())
	calls := 0
	_, err := coverage.Run(ctx, coverage.Plan{Engine: crowd(random, 60_000).engine(t), Demand: scattered(random, 100_000, 80_000),
		Situation: situation(), Workers: runtime.GOMAXPROCS(0), Progress: func(done, of int) {
			calls++
			cancel()
			assert.Less(t, done, of)
		}})
	require.ErrorIs(t, err, context.Canceled)
	assert.Positive(t, calls)
}

func TestRunRefuses(t *testing.T) {
	e := (&toy{}).hospital("h", middle, "resident").engine(t)
	plan := coverage.Plan{Engine: e, Demand: coverage.AtPoints([]coverage.Cell{{At: middle, People: math.NaN()}}), Situation: situation()}
	_, err := coverage.Run(t.Context(), plan)
	require.ErrorContains(t, err, "weight of NaN")
	plan.Demand = coverage.AtPoints(nil)
	_, err = coverage.Run(t.Context(), plan)
	require.ErrorContains(t, err, "no cell")
	plan.Demand.Cells = []coverage.Cell{{At: middle}}
	plan.Situation.Question.At = time.Time{}
	_, err = coverage.Run(t.Context(), plan)
	require.ErrorAs(t, err, new(*routing.QuestionError))
}

// TestSiteTimes: a candidate where the helicopter stands already is as good as that
// helicopter, and none makes any time longer. Source: identity.
func TestSiteTimes(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 9))
	e := (&toy{}).hospital("h", middle, "resident").asset("heli", "helicopter", geo.Destination(middle, 90, 30_000)).engine(t)
	d := scattered(random, 20, 60_000)
	today := run(t, e, d)
	plan := coverage.Plan{Engine: e, Demand: d, Situation: situation().Away("heli")}
	times, err := coverage.SiteTimes(t.Context(), plan, e.Fleet.Assets()[0], []coverage.Candidate{
		{Name: "there", At: geo.Destination(middle, 90, 30_000)}, {Name: "elsewhere", At: geo.Destination(middle, 200, 50_000)}})
	require.NoError(t, err)
	for i := range d.Cells {
		const tolS = 1e-3 // the file has the base's position to a ten-thousandth of a metre
		require.InDelta(t, today.Outcomes[i].Seconds(), times[0][i], tolS)
	}
	plan.Situation = situation()
	times, err = coverage.SiteTimes(t.Context(), plan, e.Fleet.Assets()[0], []coverage.Candidate{{Name: "elsewhere", At: geo.Destination(middle, 200, 50_000)}})
	require.NoError(t, err)
	for i := range d.Cells {
		require.LessOrEqual(t, times[0][i], today.Outcomes[i].Seconds())
	}
	_, err = coverage.SiteTimes(t.Context(), plan, e.Fleet.Assets()[0], nil)
	require.Error(t, err)
}
