package calibrate_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/calibrate"
	"surgeonward/routing/road"
)

// region is the first finding about the stage's region.
func region(t testing.TB, r *calibrate.Result, stage string) calibrate.Finding {
	t.Helper()
	for _, f := range r.Findings {
		if f.Stage == stage && f.Group.By == calibrate.ByRegion {
			return f
		}
	}
	require.Fail(t, "no finding for the region's "+stage)
	return calibrate.Finding{}
}

// Source: definition of slow, 9 in 10 are quicker. Figures fitted to other
// journeys of the same world keep it; so does the truth; figures in force that
// are too quick do not, and the tool says so.
func TestReliability(t *testing.T) {
	w := truth
	w.windingSD = 0.1
	const n = 2000
	journeys := w.journeys(t, rand.New(rand.NewPCG(1, 15)), n)
	f := region(t, calibrate.Calibrate(journeys, inForce(t), nil, quick), calibrate.TravelRoad)
	const threeStandardErrors = 0.0201 // of a share of 0.9 in 2000
	assert.InDelta(t, 0.9, f.Fitted.WithinSlow.Observed(), threeStandardErrors)
	assert.Equal(t, calibrate.Reliable, f.Fitted.WithinSlow.Verdict())
	assert.Equal(t, calibrate.TooQuick, f.Now.WithinSlow.Verdict())
	assert.InDelta(t, 1, f.Fitted.Ratio, 0.02)
	assert.Less(t, f.Fitted.MedianErrorShare, f.Now.MedianErrorShare)
	assert.Less(t, f.Fitted.Loss, f.Now.Loss)
}

// Actual over predicted road time 0.79 by ground, as Weerheijm et al. 2012, ISRN
// Emergency Medicine 508579 (read), observed of one predictor in n = 612: the
// tool reports the ratio that was put in, with an interval about as narrow.
func TestRatioOfActualToPredicted(t *testing.T) {
	settings := inForce(t)
	r := rand.New(rand.NewPCG(2, 16))
	journeys := truth.journeys(t, r, 612)
	for i := range journeys {
		route, err := road.GreatCircle{Factor: settings.RoadFactor}.Route(journeys[i].From, journeys[i].To, settings.Road, noon)
		require.NoError(t, err)
		journeys[i].DurationS = max(1, 0.79*route.TypicalS*math.Exp(0.25*r.NormFloat64()))
	}
	f := region(t, calibrate.Calibrate(journeys, settings, nil, quick), calibrate.TravelRoad)
	assert.True(t, f.Now.RatioInterval.Has(0.79), f.Now.Ratio)
	assert.InDelta(t, 0.032, *f.Now.RatioInterval.High-*f.Now.RatioInterval.Low, 0.02)
	assert.Equal(t, calibrate.TooSlow, f.Now.WithinSlow.Verdict())
}

// Medians do not add. Taylor et al., BMC Health Services Research 2012 12:402
// (read): medians of 9 min to activation, 34 to the scene, 30 on scene and 25 of
// transport, which sum to 98, and a median total of 94. The tool must give 94.
func TestMediansDoNotAdd(t *testing.T) {
	const stages = 4
	patterns := [][stages]float64{ // minutes; the medians by column are 9, 34, 30 and 25
		{9, 34, 30, 21}, {9, 34, 26, 25}, {5, 34, 30, 25},
		{12, 40, 41, 33}, {7, 21, 18, 19},
	}
	names := [stages]string{"mobilise_helicopter_day", calibrate.TravelAir, "package", "carry"}
	var journeys []calibrate.Journey
	for i := range 100 {
		at := noon
		for k, minutes := range patterns[i%len(patterns)] {
			journeys = append(journeys, calibrate.Journey{Row: len(journeys) + 2, ID: fmt.Sprint(i), Stage: names[k], StartedAt: at,
				DurationS: 60 * minutes, From: orb.Point{-29.4, 45.5}, To: orb.Point{-29.4, 46.5}})
			at = at.Add(time.Duration(minutes) * time.Minute)
		}
	}
	result := calibrate.Calibrate(journeys, inForce(t), nil, quick)
	require.Len(t, result.Totals, 1)
	total := result.Totals[0]
	assert.Equal(t, 100, total.Journeys)
	published := map[string]float64{names[0]: 9, names[1]: 34, names[2]: 30, names[3]: 25}
	sum := 0.0
	for k, stage := range total.Stages {
		assert.Equal(t, 60*published[stage], total.MedianOfStagesS[k], stage)
		sum += total.MedianOfStagesS[k]
	}
	assert.Equal(t, 60*98.0, sum)
	assert.Equal(t, 60*94.0, total.TypicalS, "the median of the totals, not the sum of the medians")
	assert.NotContains(t, result.Text(), "5880", "the sum is nowhere given as a figure")
	assert.Contains(t, result.Text(), "the medians of the stages do not add up to it")
}

// Stages side by side are not counted twice. Source: definition of elapsed time.
func TestTotalIsElapsedTime(t *testing.T) {
	var journeys []calibrate.Journey
	for i := range 20 {
		for _, stage := range []string{"call_in", "theatre_ready"} {
			journeys = append(journeys, calibrate.Journey{Row: len(journeys) + 2, ID: fmt.Sprint(i), Stage: stage, StartedAt: noon, DurationS: 900, From: orb.Point{-29.4, 45.5}})
		}
	}
	result := calibrate.Calibrate(journeys, inForce(t), nil, quick)
	require.Len(t, result.Totals, 1)
	assert.Equal(t, 900.0, result.Totals[0].TypicalS)
	assert.Empty(t, calibrate.Calibrate(journeys[:38], inForce(t), nil, quick).Totals, "19 journeys are too few")
}

func TestSameInputSameBytes(t *testing.T) {
	w := truth
	w.gross = 0.05
	journeys := w.journeys(t, rand.New(rand.NewPCG(5, 17)), 150)
	for i := range journeys {
		journeys[i].Asset = fmt.Sprintf("amb-%d", i%7)
		journeys[i].Area = []string{"north", "south", ""}[i%3]
	}
	form := func() string {
		r := calibrate.Calibrate(slices.Clone(journeys), inForce(t), nil, quick)
		all, err := json.Marshal(r)
		require.NoError(t, err)
		patch, err := r.Patch.Text()
		require.NoError(t, err)
		return string(all) + r.Text() + patch
	}
	first := form()
	for range 3 {
		require.Equal(t, first, form())
	}
}

// A group's interval does not depend on the other groups. Source: each finding
// has random numbers of its own.
func TestGroupsDoNotDisturbEachOther(t *testing.T) {
	journeys := truth.journeys(t, rand.New(rand.NewPCG(6, 18)), 120)
	for i := range journeys {
		journeys[i].Area = []string{"north", "south"}[i%2]
	}
	area := func(r *calibrate.Result) calibrate.Finding {
		for _, f := range r.Findings {
			if f.Group.Value == "north" {
				return f
			}
		}
		return calibrate.Finding{}
	}
	before := area(calibrate.Calibrate(journeys, inForce(t), nil, quick))
	for i := range journeys {
		if journeys[i].Area == "south" && i%4 == 1 {
			journeys[i].Area = "east"
		}
	}
	after := area(calibrate.Calibrate(journeys, inForce(t), nil, quick))
	require.NotEmpty(t, before.Estimates)
	assert.Equal(t, before.Estimates, after.Estimates)
}

// Source: the rule that fewer than 20 are put together, an assumption.
func TestSmallGroupsArePooled(t *testing.T) {
	journeys := timed("handover", rand.New(rand.NewPCG(7, 19)), 60, 200, 350, 0)
	for i := range journeys {
		journeys[i].Area = map[bool]string{true: "large", false: fmt.Sprintf("tiny-%d", i%4)}[i < 30]
	}
	result := calibrate.Calibrate(journeys, inForce(t), nil, quick)
	var groups []string
	for _, f := range result.Findings {
		groups = append(groups, f.Group.Name())
	}
	assert.Equal(t, []string{"region", "area large", "area pooled (tiny-0, tiny-1 and 2 more)"}, groups)
	pooled := result.Findings[2]
	assert.Equal(t, []string{"tiny-0", "tiny-1", "tiny-2", "tiny-3"}, pooled.Group.Pooled)
	assert.Equal(t, 30, pooled.Journeys)
	assert.Contains(t, strings.Join(pooled.Notes, "; "), "4 values with fewer than 20 journeys each are put together")
	assert.False(t, pooled.Proposed, "no file holds a pool")

	few := calibrate.Calibrate(journeys[:19], inForce(t), nil, quick)
	f := region(t, few, "handover")
	assert.Nil(t, f.Fitted)
	assert.Empty(t, f.Estimates)
	assert.Equal(t, calibrate.Unknown, f.Now.WithinSlow.Verdict())
	assert.Contains(t, strings.Join(f.Notes, "; "), "19 journeys are too few")
	assert.True(t, few.Patch.Empty())
}

// What the journeys cannot tell is not proposed. Source: identity; over one
// distance any cruise speed goes with some acceleration, and trips that never
// reach cruise speed say nothing of it.
func TestWhatCannotBeToldIsNotSettled(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 20))
	oneTrip := truth
	oneTrip.leastM, oneTrip.mostM = 8000, 8000.1
	short := truth
	short.leastM, short.mostM = 300, 1500
	for name, w := range map[string]world{"one distance": oneTrip, "short trips": short} {
		t.Run(name, func(t *testing.T) {
			result := calibrate.Calibrate(w.journeys(t, r, 200), inForce(t), nil, quick)
			cruise := estimates(region(t, result, calibrate.TravelRoad))["road_cruise_kmh"]
			assert.False(t, cruise.Settled)
			assert.Nil(t, cruise.Interval.High)
			assert.True(t, result.Patch.Empty())
			assert.Contains(t, result.Text(), "road_cruise_kmh is not settled by these journeys")
		})
	}
}

func TestWithoutDrivenTheFactorIsKept(t *testing.T) {
	w := truth
	w.withDriven = false
	result := calibrate.Calibrate(w.journeys(t, rand.New(rand.NewPCG(9, 21)), 200), inForce(t), nil, quick)
	f := region(t, result, calibrate.TravelRoad)
	assert.NotContains(t, estimates(f), "road_factor")
	assert.Contains(t, strings.Join(f.Notes, "; "), "0 journeys with driven_m are too few for a road factor")
	require.NotNil(t, result.Patch.Road)
	assert.Nil(t, result.Patch.Road.RoadFactor)
	assert.InDelta(t, 1, f.Fitted.Ratio, 0.05, "cruise and acceleration make up for it")
}

// Figures that are right already are not changed for figures that fit no
// better. Source: the journeys are drawn from the settings in force.
func TestRightFiguresAreKept(t *testing.T) {
	settings, faults, _ := routing.DecodeSettings([]byte(`{"region": {"name": "Invented", "time_zone": "Etc/GMT+2"},
		"road": {"road_factor": 1.34, "cruise_kmh": 84, "acceleration_kmh_per_min": 36, "spread": {"b0": 0.5, "b1": 0.01, "b2": 0.03}}}`))
	require.Empty(t, faults)
	kept := 0
	for seed := range 20 {
		result := calibrate.Calibrate(truth.journeys(t, rand.New(rand.NewPCG(uint64(seed), 22)), 100), settings, nil, quick)
		if result.Patch.Empty() {
			kept++
		}
	}
	assert.GreaterOrEqual(t, kept, 15)
}

// Of groups that are all alike, few are said to need figures of their own; one
// that is not alike is. Source: how the journeys were drawn.
func TestGroupsThatDiffer(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 23))
	alike := 0
	for range 10 {
		journeys := timed("handover", r, 300, 200, 350, 0)
		for i := range journeys {
			journeys[i].Asset = fmt.Sprintf("amb-%d", i%6)
		}
		for _, f := range calibrate.Calibrate(journeys, inForce(t), nil, quick).Findings[1:] {
			if f.Proposed {
				alike++
			}
		}
	}
	assert.LessOrEqual(t, alike, 3, "of 60 groups, at 1 in 100 by chance")

	journeys := timed("handover", r, 300, 200, 350, 0)
	for i := range journeys {
		journeys[i].Asset = fmt.Sprintf("amb-%d", i%6)
		if i%6 == 2 {
			journeys[i].DurationS *= 1.8
		}
	}
	result := calibrate.Calibrate(journeys, inForce(t), nil, quick)
	// The slow one stretches the region's slow figure too, which then is not
	// quite that of the others.
	others := 0
	for _, f := range result.Findings[1:] {
		if f.Group.Value != "amb-2" {
			if f.Proposed {
				others++
			}
			continue
		}
		assert.True(t, f.Proposed)
		assert.Equal(t, "fleet.json", f.BelongsIn)
		assert.True(t, f.Estimates[0].Differs)
	}
	assert.LessOrEqual(t, others, 1)
	assert.Contains(t, result.Text(), "proposed for fleet.json")
}

// What the model says now is the model's own figure: times equal to it have a
// ratio of 1 to the last digit shown. Source: identity.
func TestNowIsWhatTheModelSays(t *testing.T) {
	settings := inForce(t)
	ownLaw := &road.Law{CruiseMS: 30, AccelerationMS2: 0.3, Spread: settings.Road.Spread}
	fleet, err := routing.NewFleet([]routing.Asset{
		{ID: "car", Kind: routing.ResponseCar, Road: ownLaw, Allowances: map[string]facilities.Timing{"handover": {TypicalS: 77, SlowS: 99}}},
		{ID: "heli", Kind: routing.Helicopter, CruiseMS: 70, MobiliseNight: &facilities.Timing{TypicalS: 555, SlowS: 777}},
		{ID: "plane", Kind: routing.Aeroplane, CruiseMS: 110},
		{ID: "amb", Kind: routing.Ambulance},
	})
	require.NoError(t, err)
	from, to := orb.Point{-29.4, 45.5}, orb.Point{-29.0, 45.7}
	metres := geo.Distance(from, to)
	byRoad := func(law road.Law) float64 {
		s, err := law.Time(1.2 * metres)
		require.NoError(t, err)
		return s
	}
	allowance := func(id string) float64 { return settings.Allowance(id).Timing.TypicalS }
	for _, tc := range []struct {
		stage, asset string
		want         float64
	}{
		{calibrate.TravelRoad, "amb", byRoad(settings.Road)},
		{calibrate.TravelRoad, "", byRoad(settings.Road)},
		{calibrate.TravelRoad, "car", byRoad(*ownLaw)},
		{calibrate.TravelAir, "heli", metres/70 + allowance("helicopter_departure") + allowance("helicopter_approach")},
		{calibrate.TravelAir, "plane", metres/110 + allowance("aeroplane_departure") + allowance("aeroplane_approach")},
		{calibrate.TravelAir, "", metres/settings.HelicopterCruiseMS + allowance("helicopter_departure") + allowance("helicopter_approach")},
		{"handover", "car", 77}, {"handover", "amb", allowance("handover")},
		{"mobilise_helicopter_night", "heli", 555}, {"mobilise_helicopter_day", "heli", allowance("mobilise_helicopter_day")},
	} {
		t.Run(tc.stage+" "+tc.asset, func(t *testing.T) {
			journeys := []calibrate.Journey{{Row: 2, ID: "1", Stage: tc.stage, Asset: tc.asset, StartedAt: noon, DurationS: tc.want, From: from, To: to}}
			result := calibrate.Calibrate(journeys, settings, fleet, quick)
			require.NotEmpty(t, result.Findings)
			assert.Equal(t, 1.0, result.Findings[0].Now.Ratio)
		})
	}
}

// Assets with figures of their own do not bend the region's.
func TestOwnFiguresAreKeptApart(t *testing.T) {
	fleet, err := routing.NewFleet([]routing.Asset{
		{ID: "amb", Kind: routing.Ambulance},
		{ID: "slow", Kind: routing.Ambulance, Allowances: map[string]facilities.Timing{"handover": {TypicalS: 900, SlowS: 1500}}},
	})
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(11, 24))
	journeys := append(timed("handover", r, 60, 200, 350, 0), timed("handover", r, 60, 1200, 2000, 0)...)
	for i := range journeys {
		journeys[i].Row, journeys[i].ID = i+2, fmt.Sprint(i)
		journeys[i].Asset = []string{"amb", "slow"}[i/60]
	}
	journeys[0].Asset = "nobody"
	result := calibrate.Calibrate(journeys, inForce(t), fleet, quick)
	assert.Equal(t, []string{"nobody"}, result.Unknown)
	assert.Contains(t, result.Text(), "Not in fleet.json, timed by the region's figures: nobody.")
	f := region(t, result, "handover")
	assert.Equal(t, 60, f.Journeys)
	assert.Less(t, result.Patch.Allowances["handover"].TypicalS, 300.0)
	for _, g := range result.Findings {
		if g.Group.Value == "slow" {
			assert.Equal(t, 900.0, g.Estimates[0].Now)
			assert.Equal(t, "fleet.json", g.BelongsIn)
			assert.True(t, g.Proposed)
		}
	}
}

// Flights: speed and fixed part come back, nothing is proposed.
func TestFlights(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 25))
	var journeys []calibrate.Journey
	for i := range 200 {
		from := orb.Point{-29.4, 45.5}
		to := geo.Destination(from, 360*r.Float64(), 8000+90000*r.Float64())
		s := (320 + geo.Distance(from, to)/65) * math.Exp(0.1*r.NormFloat64())
		journeys = append(journeys, calibrate.Journey{Row: i + 2, ID: fmt.Sprint(i), Stage: calibrate.TravelAir, StartedAt: noon, DurationS: s, From: from, To: to})
	}
	result := calibrate.Calibrate(journeys, inForce(t), nil, quick)
	f := region(t, result, calibrate.TravelAir)
	got := estimates(f)
	assert.True(t, got["helicopter_cruise_kt"].Interval.Has(65/geo.Knot), got["helicopter_cruise_kt"])
	assert.True(t, got["helicopter_departure + helicopter_approach"].Interval.Has(320))
	assert.True(t, result.Patch.Empty())
	assert.False(t, f.Proposed)
}

// Travel that says nothing of travel is named, not dropped.
func TestUntimed(t *testing.T) {
	journeys := truth.journeys(t, rand.New(rand.NewPCG(13, 26)), 30)
	journeys[3].To = journeys[3].From
	journeys[5].To = geo.Destination(journeys[5].From, 10, 99)
	result := calibrate.Calibrate(journeys, inForce(t), nil, quick)
	assert.Equal(t, []int{5, 7}, result.Untimed)
	assert.Equal(t, 28, result.Findings[0].Journeys)
	assert.Contains(t, result.Text(), "2 rows, 5, 7")
}

func TestNoJourneys(t *testing.T) {
	result := calibrate.Calibrate(nil, inForce(t), nil, calibrate.Options{})
	assert.Empty(t, result.Findings)
	assert.True(t, result.Patch.Empty())
	text, err := result.Patch.Text()
	require.NoError(t, err)
	assert.Equal(t, "{}\n", text)
}

// The patch is settings that the settings decoder takes, and only what was
// settled and better is in it. Source: the settings schema.
func TestPatchIsSettings(t *testing.T) {
	w := truth
	w.windingSD = 0.05
	r := rand.New(rand.NewPCG(14, 27))
	journeys := append(w.journeys(t, r, 400), timed("handover", r, 100, 200, 380, 0)...)
	result := calibrate.Calibrate(journeys, inForce(t), nil, quick)
	text, err := result.Patch.Text()
	require.NoError(t, err)
	whole := `{"region": {"name": "Invented", "time_zone": "Etc/GMT+2"},` + strings.TrimPrefix(text, "{")
	settings, faults, warnings := routing.DecodeSettings([]byte(whole))
	require.Empty(t, faults)
	assert.Empty(t, warnings)
	const tolerance = 0.06 // a share of the figure: about 3 standard errors
	assert.InEpsilon(t, 1.34, settings.RoadFactor, tolerance)
	assert.InEpsilon(t, truth.law.CruiseMS, settings.Road.CruiseMS, tolerance)
	assert.InEpsilon(t, truth.law.AccelerationMS2, settings.Road.AccelerationMS2, 2*tolerance)
	assert.NoError(t, settings.Road.Check())
	handover := settings.Allowance("handover")
	assert.Equal(t, routing.MarkRegion, handover.Mark)
	assert.Contains(t, handover.Source, "calibrated on 100 journeys")
	assert.Regexp(t, `^20\d\d-\d\d-\d\d$`, handover.Date)
}

// Times all the same, or written down to the minute, are no reason to fall over.
func TestTies(t *testing.T) {
	journeys := timed("handover", rand.New(rand.NewPCG(15, 28)), 100, 200, 380, 0)
	for i := range journeys {
		journeys[i].DurationS = 180
	}
	f := region(t, calibrate.Calibrate(journeys, inForce(t), nil, quick), "handover")
	assert.Equal(t, 180.0, f.Estimates[0].Fitted)
	assert.Equal(t, 180.0, f.Estimates[1].Fitted)
	assert.Empty(t, f.OutOfLine)
	for i := range journeys {
		journeys[i].DurationS = []float64{120, 180, 180, 180, 240}[i%5]
	}
	f = region(t, calibrate.Calibrate(journeys, inForce(t), nil, quick), "handover")
	assert.Empty(t, f.OutOfLine, "a minute either way is not out of line")
}
