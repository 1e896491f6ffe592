package routing_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/geo/wind"
	"surgeonward/routing"
	"surgeonward/routing/flight"
)

func blowing(fromDeg, knots float64) func(*routing.Question) {
	return func(q *routing.Question) {
		q.Conditions.Given.Wind = &wind.Wind{FromDeg: fromDeg, SpeedMS: knots * geo.Knot}
	}
}

// The helicopter at the scene, the hospital due east, as in the handbook:
// FAA-H-8083-25, navigation chapter, course 090, 120 kt true, wind 045/40: WCA
// 14 left, heading 076, ground speed 88 kt, 220 NM in 2.5 h (set-up read,
// numbers from memory; exact 76.3670, 88.3348, 2.4905 h).
func TestWindTriangleInALeg(t *testing.T) {
	middle := orb.Point{-29.5, 0} // on the equator a course of 090 stays one
	f := toy()
	f.facility("h", "hospital", geo.Destination(middle, 90, 110*geo.NauticalMile), centre+","+residentSurgeon+","+litPad)
	e := f.asset("x", "helicopter", `"state":"at_scene","cruise_kt":120,"rotors_turning":true`).engine(t)
	ans := ask(t, e, blowing(45, 40), func(q *routing.Question) {
		q.Scene.Position = geo.Destination(middle, 270, 110*geo.NauticalMile)
	})
	s := step(t, ans.Options[0], "travel_to_hospital")
	const tol = 5.0 // seconds; the sphere's minute of arc is not quite the knot's
	assert.InDelta(t, 2.4905*3600, s.EndS-s.StartS-40-70, tol)
	for _, says := range []string{"at 120 kt", "head wind 28 kt", "heading 076", "drift 14° right", "88 kt over the ground"} {
		assert.Contains(t, s.Basis, says)
	}
}

func TestWindNoFlightCanBeat(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).asset("x", "helicopter", `"state":"at_scene","cruise_kt":60`).engine(t)
	ans := ask(t, e, blowing(90, 70))
	assert.Equal(t, []routing.ReasonCode{routing.ReasonWind}, codes(ans, "x", "h"))
	assert.NotEmpty(t, ask(t, e, blowing(90, 20)).Options, "lifted")
}

// A head wind never shortens the leg, and out and back in a steady wind is
// never quicker than in still air. Source: the wind triangle, identity.
func TestWindProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		course := rapid.Float64Range(0, 360).Draw(rt, "course")
		metres := rapid.Float64Range(2_000, 200_000).Draw(rt, "metres")
		base := place(course, metres)
		f := toy().facility("h", "hospital", base, centre+","+residentSurgeon+","+litPad).facility("b", "base", base, "")
		e := f.asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
		flown := func(ans routing.Answer) (out, back float64) {
			o := ans.Options[0]
			a, b := step(t, o, "travel_to_scene"), step(t, o, "travel_to_hospital")
			return a.EndS - a.StartS, b.EndS - b.StartS
		}
		stillOut, stillBack := flown(ask(t, e))
		ahead := geo.InitialBearing(geo.Interpolate(base, scene, 0.5), scene)
		out, _ := flown(ask(t, e, blowing(ahead+rapid.Float64Range(-90, 90).Draw(rt, "off"), rapid.Float64Range(0, 100).Draw(rt, "knots"))))
		assert.GreaterOrEqual(t, out, stillOut-1e-6)
		out, back := flown(ask(t, e, blowing(rapid.Float64Range(0, 360).Draw(rt, "from"), rapid.Float64Range(0, 100).Draw(rt, "any knots"))))
		assert.GreaterOrEqual(t, out+back, stillOut+stillBack-1e-6)
	})
}

// weatherly is a toy region with two stations and a crew of one pilot under
// SPA.HEMS.120 (UK Air Operations Regulations, Annex V, p. 490, read).
func weatherly(t testing.TB, members string) *routing.Engine {
	f := toy()
	at := func(p orb.Point) []float64 { return []float64{p[0], p[1]} }
	f.settings = map[string]any{"weather_stations": []any{
		map[string]any{"code": "QQAA", "position": at(place(90, 3_000))},
		map[string]any{"code": "QQBB", "position": at(place(0, 58_000))},
	}}
	return f.hospital("h", place(0, 60_000)).facility("b", "base", place(180, 10_000), "").
		asset("x", "helicopter", `"base":"b","night_flying":true,"pilots":1,"minima":"spa_hems_120"`+members).engine(t)
}

func reports(texts ...string) func(*routing.Question) {
	return func(q *routing.Question) { q.Conditions.Reports = texts }
}

func TestWeatherMinima(t *testing.T) {
	e := weatherly(t, "")
	good := "METAR QQBB 101350Z 24005KT 9999 FEW040 15/08 Q1018"
	for _, row := range []struct {
		name string
		at   func(*routing.Question)
		text string
		want []routing.ReasonCode
		says string
	}{
		{"clear", nil, "METAR QQAA 101350Z 24005KT 9999 FEW040 15/08 Q1018", nil, ""},
		{"at the limit: 400 ft and 2000 m", nil, "METAR QQAA 101350Z 24005KT 2000 BR OVC004 15/14 Q1018", nil, ""},
		{"1900 m under 400 ft", nil, "METAR QQAA 101350Z 24005KT 1900 BR OVC004 15/14 Q1018", []routing.ReasonCode{routing.ReasonBelowMinima}, "400 ft"},
		{"fog", nil, "METAR QQAA 101350Z 24005KT 0300 FG VV001 15/15 Q1018", []routing.ReasonCode{routing.ReasonBelowMinima}, "visibility 300 m"},
		{"ceiling not known", nil, "METAR QQAA 101350Z 24005KT 9999 VV/// 15/15 Q1018", []routing.ReasonCode{routing.ReasonWeatherUnknown}, "never taken as clear"},
		{"no cloud group at all", nil, "METAR QQAA 101350Z AUTO 24005KT 9999 15/10 Q1018", []routing.ReasonCode{routing.ReasonWeatherUnknown}, "ceiling not known"},
		{"a group that cannot be read", nil, "METAR QQAA 101350Z 24005KT 9999 BKNX10 15/10 Q1018", []routing.ReasonCode{routing.ReasonWeatherUnknown}, ""},
		{"thunderstorm", nil, "METAR QQAA 101350Z 24005KT 9999 TSRA BKN040CB 15/10 Q1018", []routing.ReasonCode{routing.ReasonThunderstorm}, "thunderstorm"},
		{"freezing rain", nil, "METAR QQAA 101350Z 24005KT 9999 -FZRA BKN040 M01/M02 Q1018", []routing.ReasonCode{routing.ReasonIcing}, "freezing"},
	} {
		t.Run(row.name, func(t *testing.T) {
			ans := ask(t, e, reports(row.text, good))
			var got []routing.ReasonCode
			var details []string
			for _, n := range ans.NotPossible {
				if n.Shape == routing.ByAir {
					for _, r := range n.Reasons {
						if len(got) == 0 || got[len(got)-1] != r.Code {
							got = append(got, r.Code)
						}
						details = append(details, r.Detail)
					}
				}
			}
			assert.Equal(t, row.want, got)
			assert.Contains(t, strings.Join(details, "\n"), row.says)
			if len(row.want) > 0 {
				assert.Contains(t, details[0], "QQAA", "it says whose weather")
				assert.Contains(t, details[0], "10 min old")
			}
		})
	}
}

func TestNearMinimaAndIcingAreCautions(t *testing.T) {
	e := weatherly(t, "")
	o := ask(t, e, reports("METAR QQAA 101350Z 24005KT 2100 BR OVC004 15/14 Q1018", "METAR QQBB 101350Z 24005KT 9999 FEW040 15/08 Q1018")).Options[0]
	assert.Contains(t, strings.Join(o.Cautions, "\n"), "near minima")
	o = ask(t, e, reports("METAR QQAA 101350Z 24005KT 9999 -RA BKN030 02/01 Q1018", "METAR QQBB 101350Z 24005KT 9999 FEW040 15/08 Q1018")).Options[0]
	assert.Contains(t, strings.Join(o.Cautions, "\n"), "icing possible")
	o = ask(t, weatherly(t, `,"icing_cleared":true`), reports("METAR QQAA 101350Z 24005KT 9999 -RA BKN030 02/01 Q1018", "METAR QQBB 101350Z 24005KT 9999 FEW040 15/08 Q1018")).Options[0]
	assert.NotContains(t, strings.Join(o.Cautions, "\n"), "icing")
}

// By day 500 ft and 1500 m would do; by night the same sky does not: 1200 ft.
func TestNightHasItsOwnMinima(t *testing.T) {
	e := weatherly(t, "")
	sky := func(q *routing.Question) {
		ceiling, visibility := 800*geo.Foot, 5000.0
		q.Conditions.Given = flight.Given{CeilingM: &ceiling, VisibilityM: &visibility}
	}
	assert.NotEmpty(t, ask(t, e, sky).Options)
	assert.Equal(t, []routing.ReasonCode{routing.ReasonBelowMinima, routing.ReasonBelowMinima},
		codes(ask(t, e, sky, byNight), "x", "h"), "at lift-off and at landing")
}

// A mission that starts by day and lands by night: civil dusk at the toy
// region on 10 June 2031 is found from the answer's own rule, and the crew
// that does not fly by night is ruled out at the landing only.
func TestStartsByDayLandsByNight(t *testing.T) {
	f := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 10_000), "")
	e := f.asset("x", "helicopter", `"base":"b"`).engine(t)
	dusk := time.Date(2031, 6, 10, 18, 0, 0, 0, time.UTC)
	for ; !ask(t, e, func(q *routing.Question) { q.At = dusk }).Night; dusk = dusk.Add(time.Minute) {
		require.True(t, dusk.Before(noon.Add(24*time.Hour)))
	}
	ans := ask(t, e, func(q *routing.Question) { q.At = dusk.Add(-20 * time.Minute) })
	assert.False(t, ans.Night)
	require.Equal(t, []routing.ReasonCode{routing.ReasonNoNightFlying}, codes(ans, "x", "h"))
	assert.Contains(t, ans.NotPossible[0].Reasons[0].Detail, "night at landing")
}

func TestForecastCountsForLater(t *testing.T) {
	e := weatherly(t, "")
	good := "METAR QQBB 101350Z 24005KT 9999 FEW040 15/08 Q1018"
	fog := "TAF QQAA 101100Z 1012/1112 24005KT 9999 FEW040 TEMPO 1014/1018 0200 FG VV001"
	assert.Contains(t, codes(ask(t, e, reports(fog, "METAR QQAA 101350Z 24005KT 9999 FEW040 15/08 Q1018", good)), "x", "h"),
		routing.ReasonBelowMinima, "what may come counts, though the report is fine")
}

func TestOldReportsAreNotUsed(t *testing.T) {
	e := weatherly(t, "")
	ans := ask(t, e, reports("METAR QQAA 100950Z 24005KT 9999 FEW040 15/08 Q1018", "METAR QQBB 100950Z 24005KT 9999 FEW040 15/08 Q1018"))
	assert.Contains(t, codes(ans, "x", "h"), routing.ReasonWeatherUnknown)
}

func TestWeatherFaults(t *testing.T) {
	e := weatherly(t, "")
	_, err := e.Options(t.Context(), routing.Question{At: noon, Scene: routing.Scene{Position: scene},
		Conditions: routing.Conditions{Given: flight.Given{Wind: &wind.Wind{FromDeg: math.NaN()}, CeilingM: ptr(-1.0)},
			Reports: []string{"METAR QQZZ 101350Z 24005KT 9999 FEW040 15/08 Q1018", "nonsense"}}})
	var bad *routing.QuestionError
	require.True(t, errors.As(err, &bad))
	var at []string
	for _, f := range bad.Faults {
		at = append(at, f.Pointer)
	}
	assert.ElementsMatch(t, []string{"/conditions/wind", "/conditions/ceiling_ft", "/conditions/reports/0", "/conditions/reports/1"}, at)
}

func ptr[T any](v T) *T { return &v }

func TestNoWeatherIsSaid(t *testing.T) {
	ans := ask(t, toy().hospital("h", place(0, 30_000)).asset("a", "ambulance", `"state":"at_scene"`).engine(t))
	assert.Contains(t, strings.Join(ans.Cautions, "\n"), "no weather was given")
}

// Fuel as time. Final reserve 20 min by day (14 CFR 91.151(b) and 135.209(b),
// read) and 30 min by night (EASA, from memory); the rest is arithmetic.
func TestEndurance(t *testing.T) {
	// base 30 km south, hospital 60 km north, fuel only at the base. Flights:
	// 500 + 40 + 130, 1000 + 40 + 70, then 90 km back 1500 + 40 + 70: 3390 s.
	// With the engines shut down while loading, that and 1200 s of reserve.
	need := 670.0 + 140 + 1110 + 1610 + 1200 // engine start 140 before the second leg
	build := func(endurance float64, more string) *routing.Engine {
		return toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), `"fuel":true`).
			asset("x", "helicopter", `"base":"b","night_flying":true,"endurance_s":`+num(endurance)+more).engine(t)
	}
	assert.Empty(t, codes(ask(t, build(need+1, "")), "x", "h"))
	short := ask(t, build(need-1, ""))
	require.Equal(t, []routing.ReasonCode{routing.ReasonBeyondEndurance}, codes(short, "x", "h"))
	assert.Contains(t, short.NotPossible[0].Reasons[0].Detail, "20 min reserve")
	assert.Equal(t, []routing.ReasonCode{routing.ReasonBeyondEndurance}, codes(ask(t, build(need+599, ""), byNight), "x", "h"), "30 min by night")
	assert.Empty(t, codes(ask(t, build(need+601, ""), byNight), "x", "h"))
	// rotors turning: loading, 180, counts as well, and there is no engine start.
	assert.Empty(t, codes(ask(t, build(need-140+180+1, `,"rotors_turning":true`), func(q *routing.Question) {
		q.Patient.ReadyIn, q.Scene.Carry = &facilities.Timing{}, &facilities.Timing{}
	}), "x", "h"))
	assert.Equal(t, []routing.ReasonCode{routing.ReasonBeyondEndurance}, codes(ask(t, build(need-140+180-1, `,"rotors_turning":true`), func(q *routing.Question) {
		q.Patient.ReadyIn, q.Scene.Carry = &facilities.Timing{}, &facilities.Timing{}
	}), "x", "h"))
	// and so does waiting for the patient.
	assert.Equal(t, []routing.ReasonCode{routing.ReasonBeyondEndurance}, codes(ask(t, build(need+300, `,"rotors_turning":true`), func(q *routing.Question) {
		q.Patient.ReadyIn = &facilities.Timing{TypicalS: 3000, SlowS: 3000}
	}), "x", "h"))
	low := ask(t, build(20_000, ""), func(q *routing.Question) {
		q.Assets.States = []routing.StateChange{{Asset: "x", State: routing.AtBase, FuelS: ptr(need - 1)}}
	})
	assert.InDelta(t, 900, step(t, low.Options[0], "refuel").Timing.TypicalS, tolS, "what is in the tanks now counts: it takes fuel where it stands")
}

func TestAStopForFuelMakesItPossible(t *testing.T) {
	f := func(more string) *fixture {
		return toy().hospital("h", place(0, 200_000)).facility("b", "base", place(180, 200_000), `"fuel":true`).
			asset("x", "helicopter", `"base":"b","rotors_turning":true,"endurance_s":7500`+more)
	}
	without := ask(t, f("").engine(t))
	require.Equal(t, []routing.ReasonCode{routing.ReasonBeyondEndurance}, codes(without, "x", "h"))
	site := func(f *fixture) *routing.Engine {
		return f.facility("site", "landing_site", place(180, 10_000), `"lit":true,"fuel":true`).
			facility("end", "landing_site", place(0, 201_000), `"lit":true,"fuel":true`).engine(t)
	}
	o := ask(t, site(f(""))).Options[0]
	stop := step(t, o, "refuel")
	assert.InDelta(t, 900, stop.EndS-stop.StartS, tolS, "on the way to the patient")
	o = ask(t, site(f(`,"hot_refuel":true`))).Options[0]
	assert.InDelta(t, 420, step(t, o, "refuel").Timing.TypicalS, tolS)
}

// A site that is long enough by day and not by night (AMC1 SPA.HEMS.125(b)(4),
// read): 2 D, and by night 4 D where it is not surveyed.
func TestClearGroundByDayAndNight(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		facility("meadow", "landing_site", place(90, 200), `"lit":true,"clear_area":{"length_m":40,"width_m":30}`).
		asset("x", "helicopter", `"base":"b","night_flying":true,"d_value_m":13`).engine(t)
	impossible := func(q *routing.Question) { q.Scene.Landing = routing.LandingImpossible }
	assert.Empty(t, codes(ask(t, e, impossible), "x", "h"))
	assert.Equal(t, []routing.ReasonCode{routing.ReasonTooLarge}, codes(ask(t, e, impossible, byNight), "x", "h"))
}
