package routing_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

// Source of every number in this file: identity, unless a line says otherwise.

// One activity varies: the percentiles are the two numbers it was given by,
// shifted by what does not vary.
func TestSpreadOfOneActivity(t *testing.T) {
	f := toy().hospital("h", place(0, 30_000)).asset("a", "ambulance", `"state":"at_scene"`)
	f.allowances["load_ambulance"] = [2]float64{100, 250}
	target := 2560.0
	ans := ask(t, f.engine(t), func(q *routing.Question) { q.TargetS = target })
	o := ans.Options[0]
	assert.InDelta(t, 2560, o.Total.TypicalS, tolS)
	assert.InDelta(t, 2560-100+250, o.Total.SlowS, tolS)
	assert.InDelta(t, 2560-100+250, o.Spread.P90S, tolS)
	assert.InDelta(t, 2560, o.Spread.P50S, tolS)
	assert.InDelta(t, 2560-100+100*100/250.0, o.Spread.P10S, tolS, "a lognormal is symmetric in ratios")
	assert.InDelta(t, 1, o.Spread.Quickest, 0, "there is no other")
	require.NotNil(t, o.Spread.Within)
	assert.InDelta(t, 0.5, *o.Spread.Within, 1.0/4096, "the target is the median")
	assert.Nil(t, ask(t, f.engine(t)).Options[0].Spread.Within)
}

// What runs beside the critical path counts as soon as it can be the last:
// the maximum's P90 is over that of either.
func TestSpreadOfTheLaterOfTwo(t *testing.T) {
	f := toy().facility("h", "hospital", place(0, 5_000), centre+","+onCallSurgeon).asset("a", "ambulance", `"state":"at_scene"`)
	f.allowances["call_in"] = [2]float64{1250, 1600}      // ready at 1310, slow 1660
	f.allowances["load_ambulance"] = [2]float64{100, 400} // handed over at 1310, slow 1610
	o := ask(t, f.engine(t)).Options[0]
	assert.InDelta(t, 1310, o.Total.TypicalS, tolS)
	assert.Greater(t, o.Spread.P90S, 1660.0)
	assert.Greater(t, o.Spread.P50S, 1310+50.0, "half of the time the other side is late")
}

// A flight's slow time is its allowances' and that of 8 kt more head wind.
func TestSlowFlight(t *testing.T) {
	f := toy().hospital("h", place(0, 60_000)).asset("x", "helicopter", `"state":"at_scene","rotors_turning":true`)
	f.allowances["helicopter_departure"] = [2]float64{40, 75}
	f.settings = map[string]any{"wind_slow_kt": 8}
	leg := step(t, ask(t, f.engine(t)).Options[0], "travel_to_hospital")
	assert.InDelta(t, 1000+40+70, leg.Timing.TypicalS, tolS)
	assert.InDelta(t, 60_000/(60-8*1852.0/3600)+75+70, leg.Timing.SlowS, tolS)
}

// Ways that share what varies keep their order, however much it varies: the
// same helicopter, mobilised once, to a nearer and to a farther hospital.
func TestCommonCausesCancel(t *testing.T) {
	f := toy().hospital("near", place(0, 60_000)).hospital("far", place(0, 61_000)).
		facility("b", "base", place(180, 30_000), "").asset("x", "helicopter", `"base":"b"`)
	f.allowances["mobilise_helicopter_day"] = [2]float64{300, 9000}
	options := ask(t, f.engine(t)).Options
	require.Len(t, options, 2)
	assert.Equal(t, "near", options[0].Destination.ID)
	assert.Greater(t, options[0].Spread.P90S-options[0].Spread.P10S, 3600.0)
	assert.InDelta(t, 1, options[0].Spread.Quickest, 0)
	assert.InDelta(t, 0, options[1].Spread.Quickest, 0)

	// Two helicopters that mobilise for themselves do not cancel. Each is in
	// time for the patient, who is ready at 720, with a mobilisation of 50 s or
	// less: a chance of Phi(ln(50/300) z90/ln 30) = 0.2498. When both are, the
	// better rank has it, and otherwise either may be the first.
	f.asset("y", "helicopter", `"base":"b"`)
	options = ask(t, f.engine(t)).Options
	assert.InDelta(t, 0.5+0.2498*0.2498/2, options[0].Spread.Quickest, 0.02, "air:x:near and air:y:near")
}

// Less spread never lowers the chance of an option that is far ahead.
func TestLessSpreadSuitsTheFirst(t *testing.T) {
	for _, aheadM := range []float64{8_000, 10_000, 13_000, 17_000, 22_000, 30_000} {
		before := 0.0
		for _, ratio := range []float64{2.5, 1.8, 1.3, 1.1, 1} {
			f := toy().hospital("h", place(0, 20_000)).facility("b", "base", place(180, 3_000), "").
				facility("c", "base", place(180, 3_000+aheadM), "").
				asset("a1", "ambulance", `"base":"b"`).asset("a2", "ambulance", `"base":"c"`)
			for id, v := range f.allowances {
				f.allowances[id] = [2]float64{v[0], v[0] * ratio}
			}
			f.allowances["package"] = [2]float64{0, 0}
			first := ask(t, f.engine(t)).Options[0]
			require.Equal(t, "road:a1:h", first.ID)
			assert.GreaterOrEqual(t, first.Spread.Quickest, before, "%g m ahead, ratio %g", aheadM, ratio)
			before = first.Spread.Quickest
		}
		assert.InDelta(t, 1, before, 0, "no spread, no doubt")
	}
}

func spreadCrowd(seed uint64) (*fixture, *rand.Rand) {
	random := rand.New(rand.NewPCG(seed, 4))
	return crowd(random, 2+random.IntN(7), 2+random.IntN(5), random.IntN(6), 40_000+random.Float64()*100_000).withSpread(), random
}

// The chances add up to 1; the percentiles are in order; the limit leaves
// every figure of what is left as it was, but for the set that is compared.
func TestChancesAddUp(t *testing.T) {
	for seed := range uint64(20) {
		f, random := spreadCrowd(seed)
		q := question()
		q.Limit, q.TargetS, q.RankBySlow = random.IntN(6), 3600, random.IntN(2) == 0
		ans, err := f.engine(t).Options(t.Context(), q)
		require.NoError(t, err)
		sum := ans.QuickestOther
		for _, o := range ans.Options {
			sum += o.Spread.Quickest
			assert.LessOrEqual(t, o.Spread.P10S, o.Spread.P50S)
			assert.LessOrEqual(t, o.Spread.P50S, o.Spread.P90S)
			assert.LessOrEqual(t, o.Total.TypicalS, o.Total.SlowS)
			assert.Equal(t, o.Spread.P90S, o.Total.SlowS)
			assert.True(t, *o.Spread.Within >= 0 && *o.Spread.Within <= 1)
			assert.Equal(t, o.Spread.P90S <= q.TargetS, *o.Spread.Within >= 0.9, "%+v", o.Spread)
		}
		if ans.Found > 0 {
			assert.InDelta(t, 1, sum, 1e-9)
		}
		assert.LessOrEqual(t, ans.Sampled, ans.Found)
		assert.GreaterOrEqual(t, ans.Sampled, min(ans.Found, 24))
	}
}

// Ranking by slow finds what drawing every option finds.
func TestRankBySlowAgainstDrawingAll(t *testing.T) {
	for seed := range uint64(12) {
		f, _ := spreadCrowd(seed)
		e := f.engine(t)
		q := question()
		q.Limit, q.RankBySlow = 4, true
		ans, err := e.Options(t.Context(), q)
		require.NoError(t, err)
		every, err := e.EverySlow(t.Context(), q)
		require.NoError(t, err)
		assert.Equal(t, ids(every), ids(ans.Options), "seed %d", seed)
		for i := range every {
			assert.InDelta(t, every[i].Total.SlowS, ans.Options[i].Total.SlowS, 0)
		}
	}
}

// Same question, same bits, whatever the order of the files and whatever was
// asked before. Another asset moves no other option's percentiles.
func TestSpreadIsDeterministic(t *testing.T) {
	for seed := range uint64(20) {
		f, random := spreadCrowd(seed)
		some := func(q *routing.Question) { q.Limit = 8 }
		want := ask(t, f.engine(t), some)
		random.Shuffle(len(f.features), func(i, j int) { f.features[i], f.features[j] = f.features[j], f.features[i] })
		random.Shuffle(len(f.assets), func(i, j int) { f.assets[i], f.assets[j] = f.assets[j], f.assets[i] })
		assert.Equal(t, spreads(want), spreads(ask(t, f.engine(t), some)), "seed %d", seed)
		f.facility("extra", "base", place(0, 50_000), "").asset("zz", "ambulance", `"base":"extra"`)
		more := spreads(ask(t, f.engine(t), some))
		for id, s := range spreads(want) {
			if got, still := more[id]; still {
				s.Quickest, got.Quickest = 0, 0
				assert.Equal(t, s, got, "seed %d, %s", seed, id)
			}
		}
	}
}

func spreads(ans routing.Answer) map[string]routing.Spread {
	out := map[string]routing.Spread{}
	for _, o := range ans.Options {
		out[o.ID] = o.Spread
	}
	return out
}

func TestTargetFaults(t *testing.T) {
	e := toy().hospital("h", place(0, 30_000)).asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	for _, v := range []float64{-1, 172_801} {
		q := question()
		q.TargetS = v
		err := e.Check(q)
		require.Error(t, err)
		assert.Contains(t, err.Error(), "/target_s", fmt.Sprint(v))
	}
}
