package routing_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/routing"
)

// z90 is the 90th percentile of the standard normal distribution (tables).
const z90 = 1.2815515655

// normalBelow is the standard normal distribution function.
func normalBelow(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// below is the chance that a two-quantile lognormal is at most x seconds.
func below(t facilities.Timing, x float64) float64 {
	switch {
	case t.SlowS <= t.TypicalS && x < t.TypicalS, x <= 0:
		return 0
	case t.SlowS <= t.TypicalS:
		return 1
	}
	return normalBelow(math.Log(x/t.TypicalS) / (math.Log(t.SlowS/t.TypicalS) / z90))
}

// rescue is a region in which roads, mobilisation, the carry and the opening all vary.
func rescue() *fixture {
	f := opening().withSpread()
	f.allowances["open_chest"] = [2]float64{120, 200}
	return f.facility("b", "base", place(180, 3_000), "").facility("c", "base", place(90, 4_000), "").
		facility("d", "base", place(0, 20_000), "").
		asset("car", "response_car", `"base":"b",`+canOpen).asset("amb", "ambulance", `"base":"c",`+canOpen).
		asset("x", "helicopter", `"base":"d","state":"moving","position":[-29.5,45.6],`+canOpen)
}

func carried(q *routing.Question, w *routing.ReachQuestion) {
	q.Scene.Carry = &facilities.Timing{TypicalS: 100, SlowS: 220}
	w.WindowS = 660
}

// Plain draws of the plans, written the obvious way: one fresh score for each
// cause, the causes told by hand. Source: the law of large numbers; seeded.
func TestReachAgainstPlainDraws(t *testing.T) {
	const plain, tolChance, tolShare = 200_000, 0.01, 0.01
	r := reach(t, rescue().engine(t), 60, carried)
	require.Len(t, r.Teams, 3)
	causeOf := func(s *routing.Scheduled) string {
		switch {
		case s.Kind == routing.KindTravel && s.ByAir:
			return "air"
		case s.Kind == routing.KindTravel:
			return "roads"
		case s.ID == "walk_to_patient":
			return "the ground"
		}
		return s.ID + " " + s.Asset
	}
	random := rand.New(rand.NewPCG(4, 9))
	arrives, opens, in := map[string][]float64{}, map[string][]float64{}, map[string]int{}
	any := 0
	for range plain {
		scores, someone := map[string]float64{}, false
		for i := range r.Teams {
			team, at := &r.Teams[i], 0.0
			for k := range team.Plan {
				s := &team.Plan[k]
				z, ok := scores[causeOf(s)]
				if !ok {
					z = random.NormFloat64()
					scores[causeOf(s)] = z
				}
				if s.ID == "open_chest" {
					arrives[team.Asset] = append(arrives[team.Asset], at)
				}
				if s.Timing.TypicalS > 0 {
					at += s.Timing.TypicalS * math.Pow(s.Timing.SlowS/s.Timing.TypicalS, z/z90)
				}
			}
			opens[team.Asset] = append(opens[team.Asset], at)
			if at+60 <= 660 {
				in[team.Asset]++
				someone = true
			}
		}
		if someone {
			any++
		}
	}
	p90 := func(x []float64) float64 {
		slices.Sort(x)
		return x[len(x)*9/10]
	}
	for _, team := range r.Teams {
		assert.InEpsilon(t, p90(arrives[team.Asset]), team.Arrives.SlowS, tolShare, team.Asset)
		assert.InEpsilon(t, p90(opens[team.Asset]), team.Opens.SlowS, tolShare, team.Asset)
		assert.InDelta(t, float64(in[team.Asset])/plain, team.Chance, tolChance, team.Asset)
		assert.Greater(t, team.Chance, 0.02, "%s: the row can tell", team.Asset)
		assert.Less(t, team.Chance, 0.98, "%s: the row can tell", team.Asset)
		slowest := 0.0
		for _, s := range team.Plan {
			slowest += s.Timing.SlowS
		}
		assert.Less(t, team.Opens.SlowS, slowest-20, "%s: not every step slow at once", team.Asset)
		assert.GreaterOrEqual(t, r.Chance, team.Chance, team.Asset)
	}
	assert.InDelta(t, float64(any)/plain, r.Chance, tolChance)
	assert.Contains(t, r.Headline, "chance to be in time "+routing.Percent(r.Teams[0].Chance)+", "+routing.Percent(r.Chance)+" with all who can come")
}

// One team's steps have causes of their own, so that the time they take
// together is a convolution, here summed on a grid of quarters of a second.
// Source: the definition of the sum of independent quantities.
func TestReachAgainstConvolution(t *testing.T) {
	const stepS, tolShare, tolChance = 0.25, 0.01, 0.01
	e := rescue().engine(t)
	r := reach(t, e, 60, carried)
	for _, team := range r.Teams {
		dist := []float64{1} // the chance of taking i steps of the grid
		for _, s := range team.Plan {
			var of []float64
			for x := 0.0; x < 6*s.Timing.SlowS+stepS; x += stepS {
				of = append(of, below(s.Timing, x+stepS/2)-below(s.Timing, x-stepS/2))
			}
			sum := make([]float64, len(dist)+len(of)-1)
			for i, p := range dist {
				if p < 1e-9 {
					continue
				}
				for k, q := range of {
					sum[i+k] += p * q
				}
			}
			dist = sum
		}
		total, p90, in := 0.0, 0.0, 0.0
		for i, p := range dist {
			if total += p; p90 == 0 && total >= 0.9 {
				p90 = float64(i) * stepS
			}
			if float64(i)*stepS+60 <= 660 {
				in = total
			}
		}
		require.InDelta(t, 1, total, 1e-3, team.Asset)
		assert.InEpsilon(t, p90, team.Opens.SlowS, tolShare, team.Asset)
		assert.InDelta(t, in, team.Chance, tolChance, team.Asset)
	}
}

// Where only the opening varies the chance is one value of the lognormal.
// Source: definition.
func TestReachChanceOfOneStep(t *testing.T) {
	e := opening().asset("car", "response_car", `"state":"at_scene",`+canOpen).engine(t)
	for _, agoS := range []float64{0, 300, 400, 440, 480, 500, 560, 599, 700} {
		r := reach(t, e, agoS)
		want := below(facilities.Timing{TypicalS: 120, SlowS: 180}, 600-agoS)
		assert.InDelta(t, want, r.Teams[0].Chance, 1.0/4096, "lost %v s ago", agoS)
		assert.Equal(t, r.Teams[0].Chance, r.Chance)
	}
}

// A common cause does not make two teams surer than one; causes of their own do.
// Source: P(A or B) for A = B, and for independent A and B.
func TestReachChanceOfAny(t *testing.T) {
	two := func(mobilise string) routing.Reach {
		f := opening().withSpread().facility("b", "base", place(180, 3_000), "")
		f.allowances["open_chest"] = [2]float64{120, 120}
		for _, id := range []string{"one", "two"} {
			f.asset(id, "response_car", `"base":"b",`+mobilise+canOpen)
		}
		return reach(t, f.engine(t), 180)
	}
	r := two(`"mobilise":{"day":{"typical_s":60,"slow_s":60},"night":{"typical_s":60,"slow_s":60}},`)
	require.Greater(t, r.Chance, 0.05)
	require.Less(t, r.Chance, 0.95)
	assert.Equal(t, r.Teams[0].Chance, r.Chance, "the roads alone vary, and both use them")

	f := opening()
	for _, id := range []string{"one", "two"} {
		f.asset(id, "response_car", `"state":"at_scene",`+canOpen)
	}
	r = reach(t, f.engine(t), 500)
	one := r.Teams[0].Chance
	assert.InDelta(t, 1-(1-one)*(1-one), r.Chance, 0.01, "each opening has its own cause")
}

// All as planned: the crew is there, and the chest open, when it was said to
// be, and what is over varies no more. Mobilise 60, 5 km in 270: there at 330.
// Source: identity.
func TestReachFactsAsPlannedChangeNothing(t *testing.T) {
	e := opening().facility("b", "base", place(180, 5_000), "").asset("car", "response_car", `"base":"b",`+canOpen).engine(t)
	loss := noon.Add(-time.Minute)
	before := reach(t, e, 60).Teams[0]
	for _, row := range []struct {
		name  string
		atS   float64
		facts []routing.Fact
	}{
		{"setting out now", 60, []routing.Fact{fact("car", routing.Lifted, 60)}},
		{"on the way", 200, []routing.Fact{fact("car", routing.Lifted, 60)}},
		{"there", 330, []routing.Fact{fact("car", routing.Lifted, 60), fact("car", routing.Arrived, 330)}},
		{"a hospital is alerted", 330, []routing.Fact{fact("car", routing.Arrived, 330), {Event: routing.Alerted, At: noon, Facility: "h"}}},
	} {
		e := e
		if row.facts[len(row.facts)-1].Event == routing.Alerted {
			e = opening().hospital("h", place(0, 9_000)).facility("b", "base", place(180, 5_000), "").
				asset("car", "response_car", `"base":"b",`+canOpen).engine(t)
		}
		r := reach(t, e, 0, func(q *routing.Question, w *routing.ReachQuestion) {
			later(row.atS, row.facts...)(q)
			w.OutputLostAt = loss
		})
		car := r.Teams[0]
		require.True(t, car.Can(), "%s: %s", row.name, car.Sentence)
		assert.WithinDuration(t, before.WithPatient, car.WithPatient, 20*time.Millisecond, row.name)
		assert.WithinDuration(t, before.Open, car.Open, 20*time.Millisecond, row.name)
		assert.WithinDuration(t, before.OpenSlow, car.OpenSlow, 20*time.Millisecond, row.name)
		assert.InDelta(t, before.MarginS, car.MarginS, 0.02, row.name)
		assert.InDelta(t, before.Chance, car.Chance, 0.002, row.name)
		for _, s := range car.Plan {
			assert.NotEqual(t, routing.KindMobilise, s.Kind, row.name)
		}
	}
}

// With spread, each fact that equals the estimate makes the opening surer.
// Source: definition.
func TestReachFactsNarrowTheSpread(t *testing.T) {
	e := rescue().engine(t)
	ask := func(s float64, facts ...routing.Fact) routing.ReachTeam {
		r := reach(t, e, 0, func(q *routing.Question, w *routing.ReachQuestion) {
			later(s, facts...)(q)
			w.OutputLostAt = noon
		})
		i := slices.IndexFunc(r.Teams, func(team routing.ReachTeam) bool { return team.Asset == "car" })
		return r.Teams[i]
	}
	before := ask(0)
	off := planStep(t, before.Plan, "travel_to_scene").StartS
	lifted := ask(off, fact("car", routing.Lifted, off))
	there := ask(before.Arrives.TypicalS, fact("car", routing.Lifted, off), fact("car", routing.Arrived, before.Arrives.TypicalS))
	width := func(team routing.ReachTeam) float64 { return team.OpenSlow.Sub(team.Open).Seconds() }
	assert.WithinDuration(t, before.Open, lifted.Open, 50*time.Millisecond)
	assert.WithinDuration(t, before.Open, there.Open, 50*time.Millisecond)
	assert.Less(t, width(lifted), width(before)-1)
	assert.Less(t, width(there), width(lifted)-1)
	assert.InDelta(t, 80, width(there), 0.1, "what is left is the opening: 120, 200 if slow")
}

// A crew with the patient on board is with them; nobody else is, once they have
// left. Source: definition.
func TestReachPatientOnBoard(t *testing.T) {
	e := opening().hospital("h", place(0, 30_000)).facility("b", "base", place(180, 5_000), "").
		asset("car", "response_car", `"base":"b",`+canOpen).asset("amb", "ambulance", `"base":"b",`+canOpen).engine(t)
	var cautions []string
	on := func(edits ...func(*routing.Question)) map[string]routing.ReachTeam {
		r := reach(t, e, 0, func(q *routing.Question, w *routing.ReachQuestion) {
			for _, edit := range edits {
				edit(q)
			}
			w.OutputLostAt = noon
		})
		cautions = r.Cautions
		out := map[string]routing.ReachTeam{}
		for _, team := range r.Teams {
			out[team.Asset] = team
		}
		return out
	}
	loaded := later(1000, fact("amb", routing.PatientLoaded, 900))
	teams := on(loaded)
	assert.Zero(t, teams["amb"].Arrives)
	assert.InDelta(t, 120, teams["amb"].Opens.TypicalS, tolS)
	assert.InDelta(t, 330, teams["car"].Arrives.TypicalS, tolS, "they are still at the scene")
	const rides = "who rides along on board the amb is not known: a team that does is with the patient"
	assert.NotContains(t, cautions, rides)

	at := place(0, 8_000)
	moving := func(q *routing.Question) {
		q.Assets.States = []routing.StateChange{{Asset: "amb", State: routing.Moving, Position: &at}}
	}
	for name, edits := range map[string][]func(*routing.Question){
		"left": {later(1000, fact("amb", routing.LeftScene, 900))}, "seen moving": {loaded, moving},
	} {
		teams = on(edits...)
		assert.Zero(t, teams["amb"].Arrives, name)
		require.Len(t, teams["car"].Reasons, 1, name)
		assert.Equal(t, routing.ReasonPatientOnBoard, teams["car"].Reasons[0].Code, name)
		assert.Zero(t, teams["car"].Chance, name)
		assert.Contains(t, cautions, rides, name)
	}
}

func TestReachFactFaults(t *testing.T) {
	e := opening().hospital("h", place(0, 30_000)).facility("b", "base", place(180, 5_000), "").
		asset("amb", "ambulance", `"base":"b",`+canOpen).engine(t)
	for _, row := range []struct {
		name, pointer, says string
		facts               []routing.Fact
	}{
		{"at the hospital", "/happened/0/event", "at a hospital", []routing.Fact{fact("amb", routing.AtHospital, 0)}},
		{"handed over", "/happened/0/event", "at a hospital", []routing.Fact{fact("amb", routing.HandedOver, 0)}},
		{"later than now", "/happened/0/at", "after the decision time", []routing.Fact{fact("amb", routing.Lifted, 1)}},
		{"out of order", "/happened/0/at", "comes first", []routing.Fact{fact("amb", routing.Arrived, -20), fact("amb", routing.Lifted, -10)}},
		{"of nobody", "/happened/0/asset", "no asset", []routing.Fact{fact("amz", routing.Lifted, 0)}},
	} {
		q := routing.Question{At: noon, Scene: routing.Scene{Position: scene}, Facts: row.facts}
		_, err := e.Reach(t.Context(), q, routing.ReachQuestion{})
		var bad *routing.QuestionError
		require.ErrorAs(t, err, &bad, row.name)
		require.Len(t, bad.Faults, 1, row.name)
		assert.Equal(t, row.pointer, bad.Faults[0].Pointer, row.name)
		assert.Contains(t, bad.Faults[0].Detail, row.says, row.name)
	}
}

func TestPercent(t *testing.T) {
	for _, row := range []struct {
		chance float64
		want   string // source: definition
	}{
		{0, "0 %"}, {1e-9, "under 1 %"}, {0.004, "under 1 %"}, {0.005, "1 %"}, {0.5, "50 %"}, {0.994, "99 %"},
		{0.995, "over 99 %"}, {1 - 1e-9, "over 99 %"}, {1, "100 %"},
	} {
		assert.Equal(t, row.want, routing.Percent(row.chance))
	}
}
