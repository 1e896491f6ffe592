package planning_test

import (
	"encoding/json"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/planning"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// villages are some places of the demonstration region with people.
var villages = []coverage.Cell{
	{At: orb.Point{-30.18, 45.36}, People: 700}, {At: orb.Point{-29.41, 45.52}, People: 900}, {At: orb.Point{-28.77, 45.74}, People: 1200},
	{At: orb.Point{-29.9, 45.4}, People: 300}, {At: orb.Point{-29.3, 45.62}, People: 500},
}

func demo(t testing.TB) *region.Region {
	t.Helper()
	r, report := region.Demo()
	require.Empty(t, report.Faults)
	return r
}

func byNight() coverage.Situation {
	return coverage.Situation{Name: "night", Share: 1, Question: routing.Question{At: time.Date(2031, 6, 11, 3, 0, 0, 0, time.UTC),
		Scene: routing.Scene{Landing: routing.LandingPossible}}}
}

func asset(t testing.TB, r *region.Region, id string) routing.Asset {
	t.Helper()
	assets := r.Fleet.Assets()
	i := slices.IndexFunc(assets, func(a routing.Asset) bool { return a.ID == id })
	require.GreaterOrEqual(t, i, 0)
	return assets[i]
}

// sited is the summary of an answer.
func sited(t testing.TB, r *region.Region, q *wire.SitingRequest) (out planning.Choice) {
	t.Helper()
	most := 0
	files, err := planning.Siting(t.Context(), r, q, "test", planning.Here, func(done, of int, _ string) {
		require.GreaterOrEqual(t, done, most, "progress never falls")
		require.LessOrEqual(t, done, of)
		most = done
	})
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(files[0].Content, &out))
	return out
}

// times are the engine's at the villages.
func times(t testing.TB, plan coverage.Plan) []float64 {
	t.Helper()
	plan.Demand = coverage.AtPoints(villages)
	r, err := coverage.Run(t.Context(), plan)
	require.NoError(t, err)
	return r.Times()
}

// meanOf is the mean time with people whom nobody reaches counting four hours.
func meanOf(times []float64) float64 {
	sum, people := 0.0, 0.0
	for i, s := range times {
		sum += villages[i].People * min(s, 4*3600)
		people += villages[i].People
	}
	return sum / people
}

// TestSitingPads and surgeons: of all pairs of hospitals the choice has the least mean time by the
// times of each alone, in the region changed by hand. Source: brute force over all choices.
func TestSitingPads(t *testing.T) {
	r := demo(t)
	for _, row := range []struct{ what, properties string }{
		{"pad", `{"pad":{"lit":true}}`},
		{"surgeon", `{"capabilities":["emergency_department","trauma_surgery","cardiothoracic_surgery"],"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":"resident","call_in":null},"weekly":null,"exceptions":null}}}`},
	} {
		t.Run(row.what, func(t *testing.T) {
			q := &wire.SitingRequest{Situation: byNight(), Places: wire.Places{Points: villages}, What: row.what, Count: 2, Objective: planning.LeastMeanTime, LostS: 4 * 3600}
			var alone [][]float64
			for _, id := range []string{"tharuvel-hospital", "samorvisse-infirmary", "quessimaune-hospital", "luorimaune-general"} {
				f, ok := r.Facilities.Get(id)
				require.True(t, ok)
				if row.what == "pad" && f.Pad != nil {
					continue
				}
				q.Candidates = append(q.Candidates, coverage.Candidate{Name: f.Name, At: f.Position, Facility: id})
				changed, _, report := r.With([]byte(`{"facilities.geojson":{"` + id + `":{"properties":` + row.properties + `}}}`))
				require.Empty(t, report.Faults)
				alone = append(alone, times(t, coverage.Plan{Engine: changed.Engine, Situation: byNight()}))
			}
			least := math.Inf(1)
			for a := range alone {
				for b := range a {
					both := make([]float64, len(villages))
					for i := range both {
						both[i] = min(alone[a][i], alone[b][i])
					}
					least = min(least, meanOf(both))
				}
			}
			got := sited(t, r, q)
			require.NotNil(t, got.Value)
			assert.InDelta(t, least, *got.Value, 0.001)
			assert.Zero(t, got.Gap)
			require.Len(t, got.Chosen, 2)
			for _, c := range got.Chosen {
				assert.Empty(t, c.Asset)
				assert.NotEmpty(t, c.Facility)
				assert.GreaterOrEqual(t, *c.Adds, 0.0)
			}
			if row.what == "surgeon" {
				assert.Less(t, *got.After.MeanS, *got.Before.MeanS, "a surgeon nearer to the people")
			}
			assert.LessOrEqual(t, *got.After.MeanS, *got.Before.MeanS)
		})
	}
}

// TestSitingMoves: of all pairs of places for two helicopters that are taken away from where they
// are, one of the places being the present base. Source: brute force over all choices.
func TestSitingMoves(t *testing.T) {
	r := demo(t)
	like, other := asset(t, r, "heli-1"), asset(t, r, "heli-3")
	q := &wire.SitingRequest{Situation: byNight(), Places: wire.Places{Points: villages}, What: "base", Count: 2, Objective: planning.LeastMeanTime,
		LostS: 4 * 3600, Like: like, Move: []string{like.ID, other.ID}}
	base, ok := r.Facilities.Get(like.Base)
	require.True(t, ok)
	q.Candidates = []coverage.Candidate{
		{Name: "west", At: orb.Point{-30.1, 45.4}}, {Name: "east", At: orb.Point{-28.8, 45.7}},
		{Name: base.Name, At: base.Position, Facility: base.ID}, {Name: "middle", At: orb.Point{-29.4, 45.5}},
	}
	plan := coverage.Plan{Engine: r.Engine, Situation: byNight().Away(like.ID, other.ID)}
	least, choice := math.Inf(1), []string{}
	for a := range q.Candidates {
		for b := range a {
			both := times(t, plan.Adding(q.Candidates[a].Asset(like, a), q.Candidates[b].Asset(like, b)))
			if m := meanOf(both); m < least {
				least, choice = m, []string{q.Candidates[a].Name, q.Candidates[b].Name}
			}
		}
	}
	got := sited(t, r, q)
	require.NotNil(t, got.Value)
	assert.InDelta(t, least, *got.Value, 0.001)
	var names []string
	for _, c := range got.Chosen {
		names = append(names, c.Name)
		assert.Equal(t, c.Facility == base.ID, c.Stays == like.ID)
	}
	assert.ElementsMatch(t, choice, names)
	assert.InDelta(t, least, meanOf(times(t, plan.Adding(q.Candidates[index(q, names[0])].Asset(like, 0), q.Candidates[index(q, names[1])].Asset(like, 1)))), 1e-9)
}

func index(q *wire.SitingRequest, name string) int {
	return slices.IndexFunc(q.Candidates, func(c coverage.Candidate) bool { return c.Name == name })
}

// TestSitingBusy: of all ways to put two more helicopters at three places, both at one of them too, the
// choice has the most people expected within the time, every set of busy helicopters asked of
// the engine by itself. Source: brute force over all choices and all sets.
func TestSitingBusy(t *testing.T) {
	r := demo(t)
	const within, busy = 3000.0, 0.5
	like := asset(t, r, "heli-1")
	q := &wire.SitingRequest{Situation: byNight(), Places: wire.Places{Points: villages}, What: "base", Count: 2, Objective: planning.MostPeopleBusy,
		WithinS: within, BusyShare: busy, Like: like, Units: []string{"heli-1", "heli-3"}, Candidates: []coverage.Candidate{
			{Name: "west", At: orb.Point{-30.1, 45.4}}, {Name: "east", At: orb.Point{-28.8, 45.7}}, {Name: "middle", At: orb.Point{-29.4, 45.5}}}}
	expected := func(a, b int) float64 {
		first, second := q.Candidates[a].Asset(like, 0), q.Candidates[b].Asset(like, 1)
		plan := coverage.Plan{Engine: r.Engine, Situation: byNight()}.Adding(first, second)
		units := []string{"heli-1", "heli-3", first.ID, second.ID}
		sum := 0.0
		for set := range 1 << len(units) {
			var away []string
			chance := 1.0
			for u, id := range units {
				if set>>u&1 == 1 {
					away = append(away, id)
					chance *= busy
				} else {
					chance *= 1 - busy
				}
			}
			one := plan
			one.Situation = plan.Situation.Away(away...)
			for i, s := range times(t, one) {
				if s <= within {
					sum += chance * villages[i].People
				}
			}
		}
		return sum
	}
	most := 0.0
	for a := range q.Candidates {
		for b := range a + 1 {
			most = max(most, expected(a, b))
		}
	}
	got := sited(t, r, q)
	require.NotNil(t, got.Value)
	assert.InDelta(t, most, *got.Value, 0.001)
	require.NotNil(t, got.Sure)
	assert.Less(t, *got.Sure, most, "else there is nothing to expect")
	units := 0
	for _, c := range got.Chosen {
		units += c.Units
	}
	assert.Equal(t, 2, units)

	q.Busy, q.BusyShare = &coverage.Calls{PerDay: 6, ServiceS: 7200, Depth: 3}, 0
	got = sited(t, r, q)
	require.NotNil(t, got.Busy)
	require.NotNil(t, got.BusyShare)
	assert.Greater(t, *got.BusyShare, 0.0)
	for _, s := range got.Busy.Shares {
		assert.Contains(t, []string{"heli-1", "heli-3", "site-0", "site-0-2", "site-1", "site-1-2", "site-2", "site-2-2"}, s.Asset)
	}
}

// TestTwoAtOneBase: where all people are in reach of one place only, both stand there (Daskin 1983).
func TestTwoAtOneBase(t *testing.T) {
	r := demo(t)
	like := asset(t, r, "heli-1")
	far := villages[:1]
	q := &wire.SitingRequest{Situation: byNight(), Places: wire.Places{Points: far}, What: "base", Count: 2, Objective: planning.MostPeopleBusy,
		BusyShare: 0.6, Like: like, Units: []string{}, Candidates: []coverage.Candidate{
			{Name: "beside", At: far[0].At}, {Name: "away", At: orb.Point{-28.8, 45.7}}}}
	plan := coverage.Plan{Engine: r.Engine, Situation: byNight()}
	beside, none := times(t, plan.Adding(q.Candidates[0].Asset(like, 0)))[0], times(t, plan)[0]
	require.Less(t, beside, none)
	q.WithinS = beside
	got := sited(t, r, q)
	require.Len(t, got.Chosen, 1)
	assert.Equal(t, "beside", got.Chosen[0].Name)
	assert.Equal(t, 2, got.Chosen[0].Units)
	assert.InDelta(t, 700*(1-0.36), *got.Value, 0.001)
}

// TestGridCandidates: the cells of a square of so many. Source: arithmetic.
func TestGridCandidates(t *testing.T) {
	q := &wire.SitingRequest{GridM: 20_000, Places: wire.Places{Area: coverage.Area{box(-30, 45, -29, 46)}}}
	got, why := planning.GridCandidates(q)
	assert.Empty(t, why)
	assert.InDelta(t, 111.2*78.6/400, len(got), 5)
	q.GridM = 1000
	_, why = planning.GridCandidates(q)
	assert.Contains(t, why, "more than 200 candidates")
	q.GridM = 0.001
	_, why = planning.GridCandidates(q)
	assert.Contains(t, why, "choose larger cells")
}

// TestSitingAdds: one more helicopter adds what the people have more of than at present, and where
// everybody is reached already nothing is needed. With one moved, it adds what they would lose without
// it. Source: brute force.
func TestSitingAdds(t *testing.T) {
	r := demo(t)
	like := asset(t, r, "heli-1")
	present := coverage.Plan{Engine: r.Engine, Situation: byNight()}
	at := []coverage.Candidate{{Name: "west", At: orb.Point{-30.1, 45.4}}, {Name: "east", At: orb.Point{-28.8, 45.7}}}
	for _, row := range []struct {
		name string
		move []string
	}{{"one more", nil}, {"one moved", []string{like.ID}}} {
		t.Run(row.name, func(t *testing.T) {
			stays := present
			stays.Situation = present.Situation.Away(row.move...)
			without := meanOf(times(t, stays))
			with := min(meanOf(times(t, stays.Adding(at[0].Asset(like, 0)))), meanOf(times(t, stays.Adding(at[1].Asset(like, 1)))))
			q := &wire.SitingRequest{Situation: byNight(), Places: wire.Places{Points: villages}, What: "base", Count: 1,
				Objective: planning.LeastMeanTime, LostS: 4 * 3600, Like: like, Move: row.move, Candidates: at}
			got := sited(t, r, q)
			require.Len(t, got.Chosen, 1)
			require.NotNil(t, got.Chosen[0].Adds)
			assert.InDelta(t, without-with, *got.Chosen[0].Adds, 0.001)
			assert.InDelta(t, with, *got.Value, 0.001)
		})
	}
	enough := slices.Max(times(t, present))
	less := slices.Max(times(t, present.Adding(at[0].Asset(like, 0), at[1].Asset(like, 1))))
	require.Less(t, less, enough, "two more help who waits longest")
	fewest := func(within float64) planning.Choice {
		return sited(t, r, &wire.SitingRequest{Situation: byNight(), Places: wire.Places{Points: villages}, What: "base", Count: 2,
			Objective: planning.FewestSites, WithinS: within, Like: like, Candidates: at})
	}
	got := fewest(enough)
	assert.True(t, got.Found)
	assert.Empty(t, got.Chosen)
	assert.Zero(t, *got.Value)
	assert.Zero(t, got.Gap)
	assert.Equal(t, got.Before.MeanS, got.After.MeanS)
	got = fewest(less)
	assert.True(t, got.Found)
	assert.NotEmpty(t, got.Chosen)
	assert.InDelta(t, len(got.Chosen), *got.Value, 0)
}
