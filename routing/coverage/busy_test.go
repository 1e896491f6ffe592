package coverage_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/busy"
	"surgeonward/routing/coverage"
)

// TestNobodyBusyIsCoverage: with no calls the expectation is plain coverage, to the last bit.
// Source: identity.
func TestNobodyBusyIsCoverage(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		random := rand.New(rand.NewPCG(seed, 21))
		plan := coverage.Plan{Engine: crowd(random, 60_000).engine(t), Demand: scattered(random, 6, 80_000), Situation: situation()}
		if plan.Demand.People() == 0 {
			return
		}
		b, err := coverage.RunBusy(t.Context(), plan, nil, coverage.Calls{})
		require.NoError(t, err)
		r, err := coverage.Run(t.Context(), plan)
		require.NoError(t, err)
		s := r.Summary()
		require.Equal(t, s.Bands, b.Expected.Bands, "seed %d", seed)
		require.Equal(t, s.Reached, b.Expected.Reached)
		if s.Reached.People > 0 {
			require.Equal(t, s.MeanS, b.Expected.MeanS)
		}
		for i, o := range r.Outcomes {
			if o.Reached {
				require.Equal(t, o.Seconds(), b.Expected.Cells[i].MeanS)
			}
		}
		for _, u := range b.Units {
			require.Zero(t, u.Share)
		}
		calls := coverage.Calls{PerDay: 20}
		asked, err := coverage.RunBusy(t.Context(), plan, nil, calls)
		require.NoError(t, err)
		given, err := coverage.RunBusy(t.Context(), plan, r, calls)
		require.NoError(t, err)
		require.Equal(t, asked, given, "a result that is there is not asked for again")
	})
}

// TestAlwaysBusyIsWithout: an asset that is always out is one that is not there, to the last
// bit, and the expectation lies between the best and the worst of the ways. Source: identity.
func TestAlwaysBusyIsWithout(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		random := rand.New(rand.NewPCG(seed, 22))
		plan := coverage.Plan{Engine: crowd(random, 60_000).engine(t), Demand: scattered(random, 6, 80_000), Situation: situation()}
		order, err := coverage.Prefer(t.Context(), plan, nil, nil, 3)
		require.NoError(t, err)
		if len(order.Units) == 0 {
			return
		}
		shares := make([]float64, len(order.Units))
		u := random.IntN(len(shares))
		shares[u] = 1
		got := order.Expect(order.Chances(shares))
		plan.Situation = plan.Situation.Away(order.Units[u])
		r, err := coverage.Run(t.Context(), plan)
		require.NoError(t, err)
		s := r.Summary()
		require.Equal(t, s.Bands, got.Bands, "seed %d", seed)
		require.Equal(t, s.Reached, got.Reached)
		for i := range shares {
			shares[i] = random.Float64()
		}
		for i, c := range order.Expect(order.Chances(shares)).Cells {
			for k, w := range order.Ways[i] {
				require.GreaterOrEqual(t, w.Total.TypicalS, c.BestS)
				if k > 0 {
					require.GreaterOrEqual(t, w.Total.TypicalS, order.Ways[i][k-1].Total.TypicalS, "fewer assets are never sooner")
				}
			}
			if c.Reached > 0 {
				require.True(t, c.BestS <= c.MeanS && c.MeanS <= c.WorstS, "seed %d", seed)
			}
		}
	})
}

// TestOthersAreAlwaysFree: who cannot be busy takes what the others leave.
func TestOthersAreAlwaysFree(t *testing.T) {
	e := (&toy{}).hospital("h", middle, "resident").asset("a", "ambulance", middle).asset("x", "helicopter", middle).engine(t)
	at := geo.Destination(middle, 0, 60_000)
	plan := coverage.Plan{Engine: e, Demand: coverage.AtPoints([]coverage.Cell{{At: at, People: 10}}), Situation: situation()}
	b, err := coverage.RunBusy(t.Context(), plan, nil, coverage.Calls{PerDay: 24, ServiceS: 3600, Assets: []string{"x"}})
	require.NoError(t, err)
	require.Equal(t, []string{"x"}, b.Order.Units)
	require.Len(t, b.Order.Ways[0], 2)
	assert.Equal(t, -1, b.Order.Ways[0][1].Unit)
	assert.InDelta(t, 0.5, b.Units[0].Share, 1e-12, "Erlang's formula for one unit and one erlang")
	assert.InDeltaSlice(t, []float64{0.5, 0.5}, b.Chances[0], 1e-12)
	ways := b.Order.Ways[0]
	assert.InDelta(t, (ways[0].Total.TypicalS+ways[1].Total.TypicalS)/2, b.Expected.MeanS, 1e-9)
	assert.Zero(t, b.Unanswered())
	b, err = coverage.RunBusy(t.Context(), plan, nil, coverage.Calls{PerDay: 24, Assets: []string{"nobody"}})
	require.NoError(t, err)
	assert.Empty(t, b.Units)
	assert.Equal(t, ways[0].Total.TypicalS, b.Expected.MeanS)
}

// TestMissionIsTheService: without a service time given, the engine's mission is it: 60 km out,
// 60 km back to the hospital, where the base is. Source: the toy region's round numbers, and
// Erlang's formula for one unit.
func TestMissionIsTheService(t *testing.T) {
	e := (&toy{}).hospital("h", middle, "resident").asset("x", "helicopter", middle).engine(t)
	at := geo.Destination(middle, 0, 60_000)
	plan := coverage.Plan{Engine: e, Demand: coverage.AtPoints([]coverage.Cell{{At: at, People: 10}}), Situation: situation()}
	b, err := coverage.RunBusy(t.Context(), plan, nil, coverage.Calls{PerDay: 12})
	require.NoError(t, err)
	require.Len(t, b.Units, 1)
	assert.InDelta(t, 2000, b.Units[0].ServiceS, 0.01)
	load := 12.0 / 24 * 2000 / 3600
	assert.InDelta(t, load/(1+load), b.Units[0].Share, 1e-6)
	assert.InDelta(t, load/(1+load), b.Unanswered(), 1e-6)
	assert.InDelta(t, 12/(1+load), b.Units[0].PerDay, 1e-4)
}

// TestErlangValues: erlang_values.txt, ten decimals, with as many assets side by side as there
// are servers: the share of calls that nobody takes.
func TestErlangValues(t *testing.T) {
	for _, row := range []struct {
		servers int
		load, b float64
	}{{2, 1, 0.2}, {3, 1.5, 0.1343283582}, {5, 3, 0.1100543478}} {
		f := (&toy{}).hospital("h", middle, "resident")
		for k := range row.servers {
			f.asset(fmt.Sprintf("a%d", k), "ambulance", middle)
		}
		plan := coverage.Plan{Engine: f.engine(t), Situation: situation(), Demand: coverage.AtPoints([]coverage.Cell{
			{At: geo.Destination(middle, 0, 9_000), People: 30}, {At: geo.Destination(middle, 90, 20_000), People: 70}})}
		b, err := coverage.RunBusy(t.Context(), plan, nil, coverage.Calls{PerDay: 24 * row.load, ServiceS: 3600, Depth: row.servers})
		require.NoError(t, err)
		assert.True(t, b.Exact)
		assert.InDelta(t, row.b, b.Unanswered(), 6e-11, "%d servers, %g erlangs", row.servers, row.load)
	}
}

// threeUnits is an order of three units at five atoms, as the reference has it, whose ways
// take 10, 20 and 40 minutes.
func threeUnits(lambda []float64, preference [][]int) *coverage.Preference {
	d := &coverage.Demand{}
	p := &coverage.Preference{Demand: d, Units: []string{"a", "b", "c"}, Depth: 3}
	for j, order := range preference {
		d.Cells = append(d.Cells, coverage.Cell{At: middle, People: lambda[j]})
		var ways []coverage.Way
		for k, u := range order {
			seconds := []float64{600, 1200, 2400}[k]
			ways = append(ways, coverage.Way{Unit: u - 1, Best: routing.Best{Reached: true, Total: facilities.Timing{TypicalS: seconds, SlowS: seconds}}})
		}
		p.Ways = append(p.Ways, ways)
	}
	return p
}

// TestThreeUnits: hypercube_3unit_exact.json, rational numbers from the balance equations: the
// shares, and from the dispatch fractions who is expected within each limit.
func TestThreeUnits(t *testing.T) {
	folder := os.Getenv("SURGEONWARD_REFERENCE")
	if folder == "" {
		folder = "../../../shared/reference/data"
	}
	data, err := os.ReadFile(filepath.Join(folder, "planning", "hypercube_3unit_exact.json"))
	if os.IsNotExist(err) {
		t.Skip("no reference file hypercube_3unit_exact.json: set SURGEONWARD_REFERENCE")
	}
	require.NoError(t, err)
	type number struct{ Exact string }
	var want struct {
		Lambda     []float64
		Preference [][]int `json:"preference_1based"`
		Workload   map[string]number
		Loss       number             `json:"loss_probability"`
		Dispatch   map[string]float64 `json:"dispatch_fractions_of_served"`
	}
	require.NoError(t, json.Unmarshal(data, &want))
	value := func(n number) float64 {
		exact, ok := new(big.Rat).SetString(n.Exact)
		require.True(t, ok)
		v, _ := exact.Float64()
		return v
	}
	p := threeUnits(want.Lambda, want.Preference)
	b, err := p.Solve(t.Context(), coverage.Calls{PerDay: 24 * 1.2}, []float64{3600, 3600, 3600})
	require.NoError(t, err)
	const tol = 1e-12
	for u, unit := range b.Units {
		assert.InDelta(t, value(want.Workload[fmt.Sprintf("unit%d", u+1)]), unit.Share, tol)
		assert.InDelta(t, unit.Share, unit.PerDay/24, tol, "calls times their hour (Little 1961)")
	}
	lost := value(want.Loss)
	assert.InDelta(t, lost, b.Unanswered(), tol)
	var first, second float64 // of all calls
	for j, order := range want.Preference {
		first += want.Dispatch[fmt.Sprintf("unit%d_atom%d", order[0], j+1)] * (1 - lost)
		second += want.Dispatch[fmt.Sprintf("unit%d_atom%d", order[1], j+1)] * (1 - lost)
	}
	people := b.Expected.People
	assert.InDelta(t, first, b.Expected.Bands[0].People/people, tol, "within 15 minutes")
	assert.InDelta(t, first+second, b.Expected.Bands[1].People/people, tol, "within 30 minutes")
	assert.InDelta(t, 1-lost, b.Expected.Bands[2].People/people, tol, "within 45 minutes")
}

// TestSimulation: the same three units with service times of their own, call by call. Source:
// definition; 400,000 calls have a standard error of under 0.001.
func TestSimulation(t *testing.T) {
	lambda, preference := []float64{0.3, 0.2, 0.4, 0.1, 0.2}, [][]int{{1, 2, 3}, {1, 3}, {2, 1, 3}, {2}, {3, 1, 2}}
	serviceS := []float64{2400, 3600, 5400}
	p := threeUnits(lambda, preference)
	b, err := p.Solve(t.Context(), coverage.Calls{PerDay: 24 * 1.2}, serviceS)
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(5, 5))
	const calls = 400_000
	free, busyS := make([]float64, 3), make([]float64, 3)
	within := make([]float64, 3) // 15, 30 and 45 minutes
	var now float64
	for range calls {
		now += random.ExpFloat64() / 1.2 * 3600
		at, atom := random.Float64()*1.2, 0
		for at > lambda[atom] && atom < 4 {
			at -= lambda[atom]
			atom++
		}
		for k, unit := range preference[atom] {
			if u := unit - 1; free[u] <= now {
				takes := random.ExpFloat64() * serviceS[u]
				free[u] = now + takes
				busyS[u] += takes
				for n := k; n < 3; n++ {
					within[n]++
				}
				break
			}
		}
	}
	for u := range busyS {
		assert.InDelta(t, busyS[u]/now, b.Units[u].Share, 0.004)
	}
	for n, count := range within {
		assert.InDelta(t, count/calls, b.Expected.Bands[n].People/b.Expected.People, 0.004)
	}
}

// TestExpectBusy: a situation mixed with itself is itself, and of two the expectation is their mean
// by shares. Source: identity.
func TestExpectBusy(t *testing.T) {
	solved := func(perDay, share float64) *coverage.Busy {
		p := threeUnits([]float64{0.3, 0.2, 0.4, 0.1, 0.2}, [][]int{{1, 2, 3}, {1, 3}, {2, 1, 3}, {2}, {3, 1, 2}})
		b, err := p.Solve(t.Context(), coverage.Calls{PerDay: perDay}, []float64{2400, 3600, 5400})
		require.NoError(t, err)
		b.Share = share
		return b
	}
	one, other := solved(24, 3), solved(4, 1)
	same, err := coverage.ExpectBusy([]*coverage.Busy{one, one})
	require.NoError(t, err)
	for u := range one.Units {
		assert.InDelta(t, one.Units[u].Share, same.Units[u].Share, 1e-12)
		assert.InDelta(t, one.Units[u].ServiceS, same.Units[u].ServiceS, 1e-9)
		assert.InDelta(t, one.Units[u].PerDay, same.Units[u].PerDay, 1e-9)
	}
	assert.InDelta(t, one.Expected.MeanS, same.Expected.MeanS, 1e-9)
	both, err := coverage.ExpectBusy([]*coverage.Busy{one, other})
	require.NoError(t, err)
	for n, band := range both.Expected.Bands {
		assert.InDelta(t, 0.75*one.Expected.Bands[n].People+0.25*other.Expected.Bands[n].People, band.People, 1e-9)
	}
	assert.InDelta(t, 0.75*one.Unanswered()+0.25*other.Unanswered(), both.Unanswered(), 1e-12)
	one.Share, other.Share = 0, 0
	_, err = coverage.ExpectBusy([]*coverage.Busy{one, other})
	assert.ErrorContains(t, err, "add up to nothing")
}

// TestManyUnits: more than the exact model takes; what nobody takes is close to Erlang's formula,
// although the units are then taken to be busy independently. Source: Erlang B, 13 servers.
func TestManyUnits(t *testing.T) {
	const units = busy.MaxExact + 1
	d := &coverage.Demand{}
	p := &coverage.Preference{Demand: d, Depth: units}
	for u := range units {
		p.Units = append(p.Units, fmt.Sprintf("u%02d", u))
		d.Cells = append(d.Cells, coverage.Cell{At: middle, People: 1})
		var ways []coverage.Way
		for k := range units {
			seconds := 600 + 60*float64(k)
			ways = append(ways, coverage.Way{Unit: (u + k) % units, Best: routing.Best{Reached: true, Total: facilities.Timing{TypicalS: seconds, SlowS: seconds}}})
		}
		p.Ways = append(p.Ways, ways)
	}
	b, err := p.Solve(t.Context(), coverage.Calls{PerDay: 24 * 8}, slices.Repeat([]float64{3600}, units))
	require.NoError(t, err)
	assert.False(t, b.Exact)
	lost, err := busy.ErlangB(units, 8)
	require.NoError(t, err)
	for _, u := range b.Units {
		assert.InDelta(t, 8*(1-lost)/units, u.Share, 0.01*8/units, "like units are equally busy")
	}
	assert.InDelta(t, lost, b.Unanswered(), 0.05, "%g", lost)
}

// TestCallsFaults: what cannot be worked out is refused in words.
func TestCallsFaults(t *testing.T) {
	e := (&toy{}).hospital("h", middle, "resident").asset("a", "ambulance", middle).engine(t)
	ok := coverage.Plan{Engine: e, Demand: coverage.AtPoints([]coverage.Cell{{At: middle, People: 10}}), Situation: situation()}
	for _, row := range []struct {
		name  string
		calls coverage.Calls
		says  string
	}{
		{"NaN calls", coverage.Calls{PerDay: math.NaN()}, "NaN calls per day"},
		{"negative calls", coverage.Calls{PerDay: -1}, "-1 calls per day"},
		{"endless calls", coverage.Calls{PerDay: math.Inf(1)}, "+Inf calls per day"},
		{"negative service", coverage.Calls{PerDay: 1, ServiceS: -5}, "a service time of -5 s"},
		{"NaN service", coverage.Calls{PerDay: 1, ServiceS: math.NaN()}, "a service time of NaN s"},
		{"depth", coverage.Calls{PerDay: 1, Depth: 99}, "a depth of 99 assets"},
		{"more calls than can be", coverage.Calls{PerDay: 90_000, ServiceS: 86_400 * 300}, "check the unit of calls"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := coverage.RunBusy(t.Context(), ok, nil, row.calls)
			assert.ErrorContains(t, err, row.says)
		})
	}
	ok.Demand = coverage.AtPoints([]coverage.Cell{{At: middle}})
	_, err := coverage.RunBusy(t.Context(), ok, nil, coverage.Calls{PerDay: 1})
	assert.ErrorContains(t, err, "give people or incidents")
}
