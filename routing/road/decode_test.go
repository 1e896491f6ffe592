package road_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/routing/road"
)

// collection wraps features written as JSON.
func collection(features ...string) string {
	return `{"type": "FeatureCollection", "features": [` + strings.Join(features, ",") + `]}`
}

func item(id, properties, geometryType, coordinates string) string {
	return fmt.Sprintf(`{"type": "Feature", "id": %q, "properties": %s, "geometry": {"type": %q, "coordinates": %s}}`,
		id, properties, geometryType, coordinates)
}

const (
	aWall   = `{"kind": "barrier", "name": "the wall"}`
	aLine   = `[[0, 0], [0, 1]]`
	aBridge = `{"kind": "crossing", "crossing": "bridge", "name": "the bridge"}`
	across  = `[[-0.01, 0.5], [0.01, 0.5]]`
)

func ferryWith(members string) string {
	return `{"kind": "crossing", "crossing": "ferry", "name": "the ferry", ` + members + `}`
}

func TestDecode(t *testing.T) {
	data := collection(
		item("road-1", `{"kind": "road", "name": "Shore road", "class": "main"}`, "LineString", `[[0, 0], [0, 0], [0.1, 0.1, 12]]`),
		item("hills", `{"kind": "area", "name": "the hills", "road_factor": 1.6, "cruise_kmh": 54, "acceleration_kmh_per_min": 30, "spread": {"b0": 1, "b1": 0, "b2": 0.1}, "x_note": [1, 2]}`,
			"Polygon", `[[[0, 0], [1, 0], [1, 1], [0, 0]]]`),
		item("wall", `{"kind": "barrier", "name": "the wall", "water": "none", "surface": null}`, "LineString", aLine),
		item("bridge", `{"kind": "crossing", "crossing": "bridge", "name": "the bridge", "length_m": 3000, "speed_kmh": 36,
			"closed": {"reason": "flooding", "until": "2031-03-15T06:00:00Z"}}`, "LineString", across),
		item("pass", `{"kind": "crossing", "crossing": "pass", "name": "the pass", "closed_months": [12, 1]}`, "LineString", across),
		item("ferry", ferryWith(`"departures": {"weekly": [{"days": ["mon", "sun"], "from": "end", "times": ["18:00", "06:30"]}, {"days": ["tue"], "times": ["00:00"]}]},
			"sailing": {"typical_s": 900, "slow_s": 1200}, "boarding": {"typical_s": 60, "slow_s": 120}`), "LineString", across),
		item("shuttle", ferryWith(`"interval_s": 1200, "sailing": {"typical_s": 900, "slow_s": 1200},
			"hours": {"otherwise": {"state": "closed"}, "weekly": [{"days": ["sat"], "from": "06:00", "to": "24:00", "state": "open"}],
			          "exceptions": [{"date": "2031-12-24", "state": "closed"}]}`), "LineString", across),
	)
	m, faults, warnings := road.Decode([]byte(data), road.DecodeOptions{Zone: time.UTC})
	require.Empty(t, faults)
	assert.Empty(t, warnings)

	assert.Equal(t, []road.Line{{ID: "road-1", Name: "Shore road", Class: "main", Line: orb.LineString{{0, 0}, {0.1, 0.1}}}}, m.Roads)
	require.Len(t, m.Areas, 1)
	assert.Equal(t, 1.6, m.Areas[0].Factor)
	assert.InDelta(t, 15, m.Areas[0].CruiseMS, 1e-12)
	assert.InDelta(t, 30*road.KilometrePerHourPerMinute, m.Areas[0].AccelerationMS2, 1e-15)
	assert.Equal(t, &road.Spread{B0Min2: 1, B2: 0.1}, m.Areas[0].Spread)
	assert.Equal(t, []road.Barrier{{ID: "wall", Name: "the wall", Water: road.NoWater, Lines: []orb.LineString{{{0, 0}, {0, 1}}}}}, m.Barriers)

	ends := [2]orb.Point{{-0.01, 0.5}, {0.01, 0.5}}
	open, closed := facilities.Opening{State: "open"}, facilities.Opening{State: "closed"}
	days := func(days ...time.Weekday) (set [7]bool) {
		for _, d := range days {
			set[d] = true
		}
		return set
	}
	assert.Equal(t, []road.Crossing{
		{ID: "bridge", Name: "the bridge", Kind: road.Bridge, Ends: ends, LengthM: 3000, SpeedMS: 36 * road.KilometrePerHour,
			Closed: &road.Closure{Reason: "flooding", Until: time.Date(2031, 3, 15, 6, 0, 0, 0, time.UTC)}},
		{ID: "pass", Name: "the pass", Kind: road.Pass, Ends: ends, Months: [13]bool{1: true, 12: true}},
		{ID: "ferry", Name: "the ferry", Kind: road.Ferry, Ends: ends, Service: &road.Service{
			Departures: []road.Departures{
				{Days: days(time.Monday, time.Sunday), From: [2]bool{false, true}, Minutes: []int{390, 1080}},
				{Days: days(time.Tuesday), From: [2]bool{true, true}, Minutes: []int{0}},
			},
			Sailing:  facilities.Timing{TypicalS: 900, SlowS: 1200},
			Boarding: facilities.Timing{TypicalS: 60, SlowS: 120},
		}},
		{ID: "shuttle", Name: "the ferry", Kind: road.Ferry, Ends: ends, Service: &road.Service{
			IntervalS: 1200, Sailing: facilities.Timing{TypicalS: 900, SlowS: 1200},
			Hours: &facilities.Rota[facilities.Opening]{
				Otherwise:  closed,
				Weekly:     []facilities.Window[facilities.Opening]{{Days: days(time.Saturday), FromMin: 360, ToMin: 1440, Value: open}},
				Exceptions: []facilities.Exception[facilities.Opening]{{Year: 2031, Month: 12, Day: 24, FromMin: 0, ToMin: 1440, Value: closed}},
			},
		}},
	}, m.Crossings)
}

func TestDecodeFaults(t *testing.T) {
	sailing := `"sailing": {"typical_s": 60, "slow_s": 90}`
	for _, c := range []struct {
		name, features, feature, pointer, says string
	}{
		{"one number", item("w", aWall, "LineString", `[[10.5], [0, 1]]`), "w", "/features/0/geometry/coordinates/0", "array of two numbers"},
		{"four numbers", item("w", aWall, "LineString", `[[1, 2, 3, 4], [0, 1]]`), "w", "/features/0/geometry/coordinates/0", "array of two numbers"},
		{"null", item("w", aWall, "LineString", `[[null, null], [0, 1]]`), "w", "/features/0/geometry/coordinates/0/0", "longitude must be a number"},
		{"text", item("w", aWall, "LineString", `[[0, "1"], [0, 1]]`), "w", "/features/0/geometry/coordinates/0/1", "latitude must be a number"},
		{"swapped", item("w", aWall, "LineString", `[[45.5, -129.4], [0, 1]]`), "w", "/features/0/geometry/coordinates/0", "the order may be swapped"},
		{"huge", item("w", aWall, "LineString", `[[1e300, 0], [0, 1]]`), "w", "/features/0/geometry/coordinates/0", "longitude 1e+300 is outside"},
		{"too huge", item("w", aWall, "LineString", `[[1e999, 0], [0, 1]]`), "", "/features/0/geometry/coordinates/0/0", "outside the range of numbers"},
		{"no position", item("w", aWall, "LineString", `[]`), "w", "/features/0/geometry/coordinates", "array of positions"},
		{"no array", item("w", aWall, "LineString", `7`), "w", "/features/0/geometry/coordinates", "array of positions"},
		{"a point", item("w", aWall, "LineString", `[[0, 1], [0, 1]]`), "w", "/features/0/geometry/coordinates", "two different positions"},
		{"wrong geometry", item("w", aWall, "Point", `[0, 1]`), "w", "/features/0/geometry/type", `type "LineString" is needed here, got "Point"`},
		{"area that is a line", item("a", `{"kind": "area", "name": "a", "road_factor": 2}`, "LineString", aLine), "a", "/features/0/geometry/type", `type "Polygon" is needed`},
		{"ring not closed", item("a", `{"kind": "area", "name": "a", "road_factor": 2}`, "Polygon", `[[[0, 0], [1, 0], [1, 1]]]`), "a", "/features/0/geometry/coordinates/0", "repeat its first position"},
		{"ring without area", item("a", `{"kind": "area", "name": "a", "road_factor": 2}`, "Polygon", `[[[0, 0], [1, 0], [0, 0]]]`), "a", "/features/0/geometry/coordinates/0", "three different positions"},
		{"polygon without ring", item("a", `{"kind": "area", "name": "a", "road_factor": 2}`, "Polygon", `[]`), "a", "/features/0/geometry/coordinates", "one ring"},
		{"no geometry", `{"type": "Feature", "id": "w", "properties": ` + aWall + `, "geometry": null}`, "w", "/features/0/geometry", "null"},
		{"unknown kind", item("w", `{"kind": "wall", "name": "w"}`, "LineString", aLine), "w", "/features/0/properties/kind", "barrier"},
		{"misspelt", item("b", `{"kind": "crossing", "crossing": "bridge", "name": "b", "speed_kph": 30}`, "LineString", across), "b", "/features/0/properties/speed_kph", "speed_kmh"},
		{"no name", item("w", `{"kind": "barrier"}`, "LineString", aLine), "w", "/features/0/properties", `missing field "name"`},
		{"factor below 1", item("a", `{"kind": "area", "name": "a", "road_factor": 0.5}`, "Polygon", `[[[0, 0], [1, 0], [1, 1], [0, 0]]]`), "a", "/features/0/properties/road_factor", "1"},
		{"id twice", item("w", aWall, "LineString", aLine) + "," + item("w", aWall, "LineString", aLine), "w", "/features/1/id", `already the id of /features/0`},
		{"id missing", `{"type": "Feature", "properties": ` + aWall + `, "geometry": {"type": "LineString", "coordinates": ` + aLine + `}}`, "", "/features/0", `missing field "id"`},
		{"three positions", item("b", aBridge, "LineString", `[[0, 0], [0, 1], [0, 2]]`), "b", "/features/0/geometry/coordinates", "exactly two positions"},
		{"open line with an inside", item("w", `{"kind": "barrier", "name": "w", "water": "inside"}`, "LineString", aLine), "w", "/features/0/properties/water", `"left" or "right"`},
		{"polygon with a left", item("w", `{"kind": "barrier", "name": "w", "water": "left"}`, "Polygon", `[[[0, 0], [1, 0], [1, 1], [0, 0]]]`), "w", "/features/0/properties/water", "no left side"},
		{"shorter than straight", item("b", `{"kind": "crossing", "crossing": "bridge", "name": "b", "length_m": 2000}`, "LineString", across), "b", "/features/0/properties/length_m", "less than the 2224 m"},
		{"bridge that sails", item("b", `{"kind": "crossing", "crossing": "bridge", "name": "b", `+sailing+`}`, "LineString", across), "b", "/features/0/properties/sailing", "does not belong to a bridge"},
		{"ferry with a speed", item("f", ferryWith(sailing+`, "interval_s": 600, "speed_kmh": 30`), "LineString", across), "f", "/features/0/properties/speed_kmh", "does not belong to a ferry"},
		{"ferry that never sails", item("f", ferryWith(sailing), "LineString", across), "f", "/features/0/properties", `missing field "interval_s" or "departures"`},
		{"ferry without sailing", item("f", ferryWith(`"interval_s": 600`), "LineString", across), "f", "/features/0/properties", `missing field "sailing"`},
		{"ferry with both", item("f", ferryWith(sailing+`, "interval_s": 600, "departures": {"weekly": [{"days": ["mon"], "times": ["06:00"]}]}`), "LineString", across), "f", "/features/0/properties/departures", "remove interval_s or departures"},
		{"ferry with hours and departures", item("f", ferryWith(sailing+`, "hours": {"otherwise": {"state": "open"}}, "departures": {"weekly": [{"days": ["mon"], "times": ["06:00"]}]}`), "LineString", across), "f", "/features/0/properties/hours", "remove them"},
		{"no such time", item("f", ferryWith(sailing+`, "departures": {"weekly": [{"days": ["mon"], "times": ["24:00"]}]}`), "LineString", across), "f", "/features/0/properties/departures/weekly/0/times/0", "00:00 to 23:59"},
		{"no such day", item("f", ferryWith(sailing+`, "departures": {"weekly": [{"days": ["monday"], "times": ["23:00"]}]}`), "LineString", across), "f", "/features/0/properties/departures/weekly/0/days/0", "mon"},
		{"slow is quicker", item("f", ferryWith(`"interval_s": 600, "sailing": {"typical_s": 60, "slow_s": 30}`), "LineString", across), "f", "/features/0/properties/sailing/slow_s", "9 in 10"},
		{"closed without reason", item("b", `{"kind": "crossing", "crossing": "bridge", "name": "b", "closed": {}}`, "LineString", across), "b", "/features/0/properties/closed", `missing field "reason"`},
		{"closed until no time", item("b", `{"kind": "crossing", "crossing": "bridge", "name": "b", "closed": {"reason": "r", "until": "tomorrow"}}`, "LineString", across), "b", "/features/0/properties/closed/until", "2031"},
		{"thirteenth month", item("p", `{"kind": "crossing", "crossing": "pass", "name": "p", "closed_months": [13]}`, "LineString", across), "p", "/features/0/properties/closed_months/0", "12"},
		{"all round the Earth", item("w", aWall, "LineString", `[[0, 0], [170, 0]]`), "", "/features", "reach 9452 km from their middle"},
		{"nowhere in particular", item("w", aWall, "LineString", `[[0, 0], [90, 0], [180, 0], [-90, 0]]`), "", "/features", "all round the Earth"},
		{"end in the sea", item("c", `{"kind": "barrier", "name": "c", "water": "outside"}`, "LineString", `[[0, 0], [0.1, 0], [0.1, 0.1], [0, 0.1], [0, 0]]`) + "," +
			item("b", aBridge, "LineString", `[[0.05, 0.05], [0.15, 0.05]]`), "b", "/features/1/geometry/coordinates/1", "this end of the bridge lies 5560 m in the water"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, faults, _ := road.Decode([]byte(collection(c.features)), road.DecodeOptions{Zone: time.UTC})
			assert.Nil(t, m)
			var found []string
			for _, f := range faults {
				found = append(found, f.String())
				if f.Feature == c.feature && f.Pointer == c.pointer && strings.Contains(f.Detail, c.says) {
					return
				}
			}
			assert.Fail(t, "definition: no fault of "+c.feature+" at "+c.pointer+" with "+c.says, strings.Join(found, "\n"))
		})
	}
}

func TestDecodeFindsAllFaultsAtOnce(t *testing.T) {
	_, faults, _ := road.Decode([]byte(collection(
		item("a", aWall, "LineString", `[[200, 0], [0, 100]]`),
		item("b", `{"kind": "crossing", "crossing": "ferry", "name": "f", "closed_months": [0]}`, "LineString", `[[0, 0]]`),
	)), road.DecodeOptions{Zone: time.UTC})
	var pointers []string
	for _, f := range faults {
		pointers = append(pointers, f.Feature+" "+f.Pointer)
	}
	assert.Equal(t, []string{
		"a /features/0/geometry/coordinates/0", "a /features/0/geometry/coordinates/1",
		"b /features/1/geometry/coordinates",
		"b /features/1/properties", "b /features/1/properties", // when it sails, how long
		"b /features/1/properties/closed_months/0",
	}, pointers, "definition: each once, in the order of the file")
}

func TestDecodeWarns(t *testing.T) {
	ring := `[[0, 0], [0.1, 0], [0.1, 0.1], [0, 0.1], [0, 0]]`
	island := item("c", `{"kind": "barrier", "name": "c", "water": "outside"}`, "LineString", ring)
	for _, c := range []struct {
		name, features, pointer, says string
		zone                          *time.Location
	}{
		{"closed, and no word of water", item("c", aWall, "LineString", ring), "/features/0/properties", `"water": "outside"`, time.UTC},
		{"area of nothing", item("a", `{"kind": "area", "name": "a"}`, "Polygon", `[[[0, 0], [1, 0], [1, 1], [0, 0]]]`), "/features/0/properties", "changes nothing", time.UTC},
		{"over nothing", item("b", aBridge, "LineString", across), "/features/0/geometry/coordinates", "leads over no barrier", time.UTC},
		{"end on the beach", island + "," + item("b", aBridge, "LineString", `[[0.05, 0.05], [0.101, 0.05]]`), "/features/1/geometry/coordinates/1", "lies 111 m in the water and is taken to the shore", time.UTC},
		{"one way", item("w", aWall, "LineString", aLine) + "," + item("f", ferryWith(`"sailing": {"typical_s": 60, "slow_s": 90}, "departures": {"weekly": [{"days": ["mon"], "from": "start", "times": ["06:00"]}]}`), "LineString", across),
			"/features/1/properties/departures", "no departure from the end of the line", time.UTC},
		{"no zone", item("w", aWall, "LineString", aLine) + "," + item("p", `{"kind": "crossing", "crossing": "pass", "name": "p", "closed_months": [1]}`, "LineString", across),
			"/features/1/properties", "read in UTC", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, faults, warnings := road.Decode([]byte(collection(c.features)), road.DecodeOptions{Zone: c.zone})
			require.Empty(t, faults)
			assert.NotNil(t, m)
			for _, w := range warnings {
				if w.Pointer == c.pointer && strings.Contains(w.Detail, c.says) {
					return
				}
			}
			assert.Fail(t, "definition", "no warning at %s with %q among %v", c.pointer, c.says, warnings)
		})
	}
}

func TestDecodeBounds(t *testing.T) {
	long := func(n int) []orb.Point {
		line := make([]orb.Point, n)
		for i := range line {
			line[i] = orb.Point{float64(i) * 1e-4, float64(i%2) * 1e-4}
		}
		return line
	}
	m, faults, _ := road.Decode(document(wall(long(road.MaxBarrierVertices)...)), road.DecodeOptions{})
	assert.Empty(t, faults)
	assert.NotNil(t, m)
	_, faults, _ = road.Decode(document(wall(long(road.MaxBarrierVertices+1)...)), road.DecodeOptions{})
	require.Len(t, faults, 1)
	assert.Equal(t, "20001 positions in barriers, at most 20000 can be used: draw the coast in less detail", faults[0].Detail)

	var many []feature
	for range road.MaxCrossings + 1 {
		many = append(many, crossing("bridge", "b", orb.Point{0, 0}, orb.Point{0, 0.1}, nil))
	}
	_, faults, _ = road.Decode(document(many...), road.DecodeOptions{})
	require.Len(t, faults, 1)
	assert.Equal(t, "1001 crossings, at most 1000 can be used: keep those that a vehicle would take", faults[0].Detail)

	bad := make([]string, 300)
	for i := range bad {
		bad[i] = item(fmt.Sprint("w", i), aWall, "LineString", `[]`)
	}
	_, faults, _ = road.Decode([]byte(collection(bad...)), road.DecodeOptions{})
	require.Len(t, faults, 201)
	assert.Equal(t, "100 more are not shown: correct these first", faults[200].Detail)
}

func TestSchemaIsJSON(t *testing.T) {
	var schema map[string]any
	require.NoError(t, json.Unmarshal(road.Schema(), &schema))
	assert.Equal(t, "https://json-schema.org/draft/2020-12/schema", schema["$schema"])
}

func FuzzDecode(f *testing.F) {
	for _, data := range []string{
		``, `{}`, `[]`, `null`, `{"type": "FeatureCollection", "features": null}`, "\xff", collection(), collection(`null`), collection(`{}`),
		collection(item("w", aWall, "LineString", aLine), item("b", aBridge, "LineString", across)),
		collection(item("w", aWall, "LineString", `[[1e308, -1e308], [1e-320, -0]]`)),
		collection(item("w", aWall, "LineString", `[[180, 90], [-180, 90], [0, -90], [180, 0], [-180, 0]]`)),
		collection(item("w", aWall, "LineString", `[[0, 0], [1e-300, 0], [0, 1e-300]]`)),
		collection(item("w", aWall, "LineString", `[[0, 0], [1, 0], [0, 0], [1, 0], [0, 0]]`)),
		collection(item("w", `{"kind": "barrier", "name": "w", "water": "outside"}`, "Polygon", `[[[0, 0], [0.1, 0], [0.1, 0.1], [0, 0]], [[0, 0], [0.1, 0], [0, 0]]]`)),
		collection(item("w", `{"kind": "barrier", "name": "w", "water": "left"}`, "LineString", `[[0, 0], [0, 0.1], [0, 0]]`), item("b", aBridge, "LineString", `[[0, 0], [0, 0.1]]`)),
		collection(item("a", `{"kind": "area", "name": "a", "road_factor": 5, "cruise_kmh": 5, "spread": {"b0": 100, "b1": 100, "b2": 10}}`, "Polygon", `[[[0, 0], [1, 0], [1, 1], [0, 0]]]`)),
		collection(item("f", ferryWith(`"interval_s": 1e-300, "sailing": {"typical_s": 0, "slow_s": 172800}, "boarding": {"typical_s": 172800, "slow_s": 172800}`), "LineString", across)),
		collection(item("f", ferryWith(`"sailing": {"typical_s": 0, "slow_s": 0}, "departures": {"weekly": [{"days": ["mon"], "times": ["00:00"]}]}, "closed": {"reason": "r", "until": "0000-01-01T00:00:00Z"}`), "LineString", across)),
		collection(item("f", ferryWith(`"interval_s": 60, "sailing": {"typical_s": 0, "slow_s": 0}, "hours": {"otherwise": {"state": "closed"}}, "closed": {"reason": "r", "until": "9999-12-31T23:59:59+23:59"}`), "LineString", across)),
		collection(item("w", `{"kind": "barrier", "name": {"kind": []}}`, "LineString", `[{"a": 1}, [[]]]`)),
	} {
		f.Add([]byte(data))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 20_000 {
			return // every corner is joined with every other: keep it quick
		}
		m, faults, _ := road.Decode(data, road.DecodeOptions{Zone: time.UTC})
		if m == nil {
			require.NotEmpty(t, faults, "what is refused has a reason")
			return
		}
		require.Empty(t, faults)
		tr, err := road.NewTerrain(m, straightRoads)
		require.NoError(t, err)
		ends := []orb.Point{{0, 0}, {0.05, 0.05}}
		for _, b := range m.Barriers {
			ends = append(ends, b.Lines[0][0])
		}
		for _, c := range m.Crossings {
			ends = append(ends, c.Ends[0])
		}
		for _, to := range ends[:min(len(ends), 6)] {
			got, err := tr.Route(ends[len(ends)-1], to, plain, noon)
			if err != nil {
				require.ErrorIs(t, err, road.ErrUnreachable)
				continue
			}
			assert.True(t, facilities.Timing{TypicalS: got.TypicalS, SlowS: got.SlowS}.Valid(), "%+v", got)
			assert.False(t, math.IsNaN(got.DistanceM) || math.IsInf(got.DistanceM, 0))
		}
	})
}
