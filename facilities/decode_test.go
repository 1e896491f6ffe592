package facilities_test

import (
	"bytes"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
)

func TestDecodeReadsEveryMember(t *testing.T) {
	list, errs, warnings := decode(example(t))
	require.Empty(t, errs)
	assert.Empty(t, warnings)
	require.Equal(t, 3, list.Len())

	h, ok := list.Get("tavrin-hospital")
	require.True(t, ok)
	zone, err := time.LoadLocation("Etc/GMT+2")
	require.NoError(t, err)
	presence := h.Surgeons["cardiothoracic_surgery"]
	assert.Equal(t, facilities.Hospital, h.Kind)
	assert.Equal(t, orb.Point{-29.4102, 45.5213}, h.Position)
	assert.Equal(t, zone.String(), h.Zone.String())
	assert.Equal(t, []string{"blood_bank", "cardiopulmonary_bypass", "cardiothoracic_surgery", "emergency_department",
		"intensive_care", "perfusionist", "trauma_surgery"}, h.Capabilities)
	assert.Equal(t, facilities.OnCall, presence.Otherwise.Attendance)
	assert.Equal(t, &facilities.Timing{TypicalS: 1200, SlowS: 1800}, presence.Otherwise.CallIn)
	assert.Equal(t, []facilities.Window[facilities.Presence]{{
		Days: [7]bool{false, true, true, true, true, true, false}, FromMin: 450, ToMin: 1080,
		Value: facilities.Presence{Attendance: facilities.Resident},
	}}, presence.Weekly)
	assert.Equal(t, []facilities.Exception[facilities.Presence]{{
		Year: 2031, Month: 12, Day: 25, FromMin: 0, ToMin: 1440,
		Value: facilities.Presence{Attendance: facilities.OnCall, CallIn: &facilities.Timing{TypicalS: 1500, SlowS: 2400}},
	}}, presence.Exceptions)
	assert.Equal(t, &facilities.Timing{TypicalS: 1500, SlowS: 2100}, h.TheatreAt(time.Now()).Ready)
	assert.Equal(t, &facilities.Timing{TypicalS: 300, SlowS: 480}, h.Handover)
	assert.Equal(t, facilities.Divert, h.Accepting.State)
	assert.Equal(t, "no intensive care bed", h.Accepting.Reason)
	assert.True(t, time.Date(2031, 3, 15, 6, 0, 0, 0, time.UTC).Equal(h.Accepting.Until))
	require.NotNil(t, h.Pad)
	assert.Equal(t, orb.Point{-29.4071, 45.5231}, h.Pad.Position)
	assert.Equal(t, &facilities.Timing{TypicalS: 360, SlowS: 540}, h.Pad.ToDoor)
	assert.True(t, h.Pad.VehicleNeeded)
	assert.True(t, h.Pad.Ground.Lit)
	assert.Equal(t, 16.5, *h.Pad.Ground.MaxDValueM)
	assert.Equal(t, &facilities.Timing{TypicalS: 300, SlowS: 600}, h.Pad.ShuttleCall)
	assert.Equal(t, 6000.0, *h.Pad.Ground.MaxMassKg)
	assert.True(t, h.Pad.Ground.Fuel && h.HasFuel())
	assert.True(t, time.Date(2031, 3, 14, 22, 15, 0, 0, time.UTC).Equal(h.Pad.Ground.Occupied))
	assert.Nil(t, h.Ground)

	s, _ := list.Get("quellick-field")
	assert.Equal(t, facilities.LandingSite, s.Kind)
	assert.Equal(t, orb.Point{-29.2514, 45.4406}, s.Position, "a height does not disturb the position")
	assert.True(t, s.Ground.RoadAccess)
	assert.False(t, s.Ground.Lit)
	assert.Nil(t, s.Ground.MaxMassKg)
	assert.False(t, s.HasFuel())
	assert.True(t, time.Date(2031, 3, 14, 22, 0, 0, 0, time.UTC).Equal(s.Ground.Occupied), "20:00 two hours west")
	assert.Equal(t, time.UTC, s.Zone, "the region's zone where the facility names none")

	a, _ := list.Get("morvane-airfield")
	assert.Equal(t, 1350.0, *a.Ground.RunwayM)
	assert.True(t, a.Ground.Fuel && a.HasFuel())
	assert.True(t, a.Ground.Occupied.IsZero(), "free")
}

func TestDecodeDefaults(t *testing.T) {
	list, errs, _ := decode(collection(hospital("a", `,"pad":{}`), base("b", here)))
	require.Empty(t, errs)
	h, _ := list.Get("a")
	assert.Equal(t, h.Position, h.Pad.Position, "the pad is at the door where the file gives no other place")
	assert.Equal(t, facilities.Open, h.Accepting.State)
	assert.Nil(t, h.Theatre)
	assert.Nil(t, h.Handover)
	assert.Nil(t, h.Pad.ToDoor)
	assert.Nil(t, h.Pad.ShuttleCall)
	assert.Nil(t, h.Pad.Ground.Hours)
	assert.False(t, h.HasFuel())
	assert.True(t, h.Pad.Ground.Occupied.IsZero(), "free")
	_, stated := h.PresenceAt("ecmo", time.Now())
	assert.False(t, stated)
	b, _ := list.Get("b")
	assert.Nil(t, b.Ground)
	assert.Nil(t, b.Pad)
	assert.False(t, b.HasFuel())
}

// aircraft fuel can be had at every kind of facility
func TestHasFuel(t *testing.T) {
	list, errs, warnings := decode(collection(
		feature("base", here, `"kind":"base","name":"Base","fuel":true`),
		feature("dry-base", here, `"kind":"base","name":"Dry base","fuel":false`),
		hospital("hospital", `,"pad":{"fuel":true}`), hospital("no-pad", ""),
		site("site", `,"fuel":true`), site("dry-site", ""),
	))
	require.Empty(t, errs)
	assert.Empty(t, warnings)
	for id, want := range map[string]bool{"base": true, "dry-base": false, "hospital": true, "no-pad": false, "site": true, "dry-site": false} {
		f, _ := list.Get(id)
		assert.Equal(t, want, f.HasFuel(), id)
	}
}

// decoding coordinates with a library accepts the first three as 0, 0 and the latitude
// beyond the pole: the traps of the list of library facts
func TestDecodePositions(t *testing.T) {
	tests := []struct {
		name, source, coordinates string
		want                      []string // pointer below the coordinates, then the sentence
	}{
		{"longitude and latitude", "RFC 7946 section 3.1.1", `[10.5,60.1]`, nil},
		{"height", "RFC 7946 section 3.1.1: an optional third element", `[10.5,60.1,1203]`, nil},
		{"corners of the range", "RFC 7946 section 4: degrees on WGS 84", `[-180,-90]`, nil},
		{"exponent", "RFC 8259 section 6", `[1.05e1,601E-1]`, nil},
		{"one number", "RFC 7946 section 3.1.1", `[10.5]`, []string{": a position is [longitude, latitude], with a height in metres at most: it must have 2 or 3 numbers, got 1"}},
		{"empty", "RFC 7946 section 3.1.1", `[]`, []string{": a position is [longitude, latitude], with a height in metres at most: it must have 2 or 3 numbers, got 0"}},
		{"four numbers", "RFC 7946 section 3.1.1: should not extend beyond three", `[10.5,60.1,0,7]`, []string{": a position is [longitude, latitude], with a height in metres at most: it must have 2 or 3 numbers, got 4"}},
		{"null", "RFC 7946 section 3.1.1", `[null,null]`, []string{"/0: longitude must be a number, got null", "/1: latitude must be a number, got null"}},
		{"text", "RFC 7946 section 3.1.1", `["10.5",60.1]`, []string{"/0: longitude must be a number, got a string"}},
		{"nested, as in a line", "RFC 7946 section 3.1.4", `[[10.5,60.1],[11,60]]`, []string{"/0: longitude must be a number, got an array", "/1: latitude must be a number, got an array"}},
		{"latitude beyond the pole", "definition", `[60.1,190.5]`, []string{"/1: latitude 190.5 is outside -90 to 90 degrees"}},
		{"swapped", "definition", `[45.52,-129.41]`, []string{"/1: latitude -129.41 is outside -90 to 90 degrees: the two may be swapped, longitude comes first"}},
		{"longitude beyond the antimeridian", "definition", `[180.0001,0]`, []string{"/0: longitude 180.0001 is outside -180 to 180 degrees"}},
		{"both outside", "definition", `[1e300,-1e300]`, []string{"/0: longitude 1e+300 is outside -180 to 180 degrees", "/1: latitude -1e+300 is outside -90 to 90 degrees"}},
		{"height as text", "definition", `[10.5,60.1,"high"]`, []string{"/2: height must be a number, got a string"}},
		{"object", "RFC 7946 section 3.1.1", `{"lon":10.5,"lat":60.1}`, []string{`: "coordinates" must be an array, got an object`}},
	}
	for _, tt := range tests {
		for where, file := range map[string][]byte{
			"/features/0/geometry/coordinates":    collection(base("a", tt.coordinates)),
			"/features/0/properties/pad/position": collection(hospital("a", `,"pad":{"position":`+tt.coordinates+`}`)),
		} {
			t.Run(tt.name+where, func(t *testing.T) {
				list, errs, _ := decode(file)
				want := []string{}
				for _, w := range tt.want {
					want = append(want, where+strings.ReplaceAll(w, `"coordinates"`, `"`+where[strings.LastIndex(where, "/")+1:]+`"`))
				}
				assert.Equal(t, want, brief(errs), tt.source)
				assert.Equal(t, len(tt.want) > 0, list == nil)
			})
		}
	}
}

func TestDecodeNumbersOutOfRange(t *testing.T) {
	for _, text := range []string{"1e999", "-1e999", strings.Repeat("9", 400)} {
		_, errs, _ := decode(collection(base("a", `[`+text+`,45]`)))
		require.Len(t, errs, 1, "IEEE 754 binary64 ends at about 1.8e308")
		assert.Equal(t, "/features/0/geometry/coordinates/0", errs[0].Pointer)
		assert.Equal(t, "a", errs[0].Feature)
		assert.Contains(t, errs[0].Detail, "outside the range of numbers")
	}
	_, errs, _ := decode(collection(base("a", `[NaN,45]`)))
	require.Len(t, errs, 1)
	assert.Contains(t, errs[0].Detail, "NaN and Infinity are not JSON numbers")
}

// values from memory: RFC 7946 section 1.5 and section 3.1.2 with appendix A.1
func TestDecodeRFC7946Examples(t *testing.T) {
	t.Run("section 1.5", func(t *testing.T) {
		_, errs, _ := decode([]byte(`{"type":"FeatureCollection","features":[
			{"type":"Feature","geometry":{"type":"Point","coordinates":[102.0,0.5]},"properties":{"prop0":"value0"}},
			{"type":"Feature","geometry":{"type":"LineString","coordinates":[[102.0,0.0],[103.0,1.0],[104.0,0.0],[105.0,1.0]]},
			 "properties":{"prop0":"value0","prop1":0.0}},
			{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[100.0,0.0],[101.0,0.0],[101.0,1.0],[100.0,1.0],[100.0,0.0]]]},
			 "properties":{"prop0":"value0","prop1":{"this":"that"}}}]}`))
		assert.Equal(t, []string{
			`/features/0: missing field "id": add it`,
			`/features/0/properties: missing field "kind": add it`,
			`/features/0/properties: missing field "name": add it`,
			`/features/1: missing field "id": add it`,
			`/features/1/geometry/type: "type" must be "Point" (got "LineString")`,
			`/features/1/properties: missing field "kind": add it`,
			`/features/1/properties: missing field "name": add it`,
			`/features/2: missing field "id": add it`,
			`/features/2/geometry/type: "type" must be "Point" (got "Polygon")`,
			`/features/2/properties: missing field "kind": add it`,
			`/features/2/properties: missing field "name": add it`,
		}, brief(errs))
	})
	t.Run("section 3.1.2, the Point of appendix A.1", func(t *testing.T) {
		list, errs, _ := decode([]byte(`{"type":"FeatureCollection","features":[{"type":"Feature","id":"p",
			"geometry":{"type":"Point","coordinates":[100.0,0.0]},"properties":{"kind":"base","name":"P"}}]}`))
		require.Empty(t, errs)
		p, _ := list.Get("p")
		assert.Equal(t, orb.Point{100, 0}, p.Position)
	})
	t.Run("section 3.2: a feature may be unlocated, a facility not", func(t *testing.T) {
		_, errs, _ := decode(collection(`{"type":"Feature","id":"p","geometry":null,"properties":null}`))
		assert.Equal(t, []string{
			`/features/0/geometry: "geometry" must be an object, got null: give a value, or leave it out if it is optional`,
			`/features/0/properties: "properties" must be an object, got null: give a value, or leave it out if it is optional`,
		}, brief(errs))
	})
}

func TestDecodeErrors(t *testing.T) {
	const p = "/features/0/properties"
	tests := []struct {
		name, source string
		in           []byte
		want         []string
	}{
		{"not a collection", "RFC 7946 section 3.3", []byte(base("a", here)), []string{
			`: missing field "features": add it`,
			`/geometry: a FeatureCollection must not have "geometry": remove it (RFC 7946 section 7.1)`,
			`/properties: a FeatureCollection must not have "properties": remove it (RFC 7946 section 7.1)`,
			`/type: "type" must be "FeatureCollection" (got "Feature"): did you mean "FeatureCollection"?`}},
		{"features misspelt", "definition", []byte(`{"type":"FeatureCollection","feature":[]}`), []string{
			`: missing field "features": add it`, `/feature: unknown field "feature": did you mean "features"?`}},
		{"no feature", "definition", collection(`5`), []string{`/features/0: feature 0 must be an object`}},
		{"id a number", "RFC 7946 section 3.2 allows it, this file does not", collection(strings.Replace(base("a", here), `"a"`, `7`, 1)), []string{
			`/features/0/id: "id" must be a string, got a number`}},
		{"id with capitals", "definition", collection(base("A b", here)), []string{
			`/features/0/id: "id" must be 1 to 64 of the characters a-z, 0-9 and -, not starting with - (got "A b")`}},
		{"id too long", "definition", collection(base(strings.Repeat("a", 65), here)), []string{
			`/features/0/id: "id" must be 1 to 64 of the characters a-z, 0-9 and -, not starting with - (got "` + strings.Repeat("a", 60) + `…")`}},
		{"id moved by a map program", "definition", collection(`{"type":"Feature","geometry":{"type":"Point","coordinates":[1,2]},"properties":{"id":"x","kind":"base","name":"X"}}`), []string{
			`/features/0: missing field "id": add it`,
			p + `/id: "id" belongs beside "properties", not in it: move it there`}},
		{"id twice", "definition", collection(base("a", here), base("b", here), base("a", here)), []string{
			`/features/2/id: id "a" is taken: features 0 and 2 have it, give one of them another`}},
		{"kind unknown", "definition", collection(feature("a", here, `"kind":"heliport","name":"x"`)), []string{
			p + `/kind: "kind" must be one of "hospital", "landing_site", "airfield" or "base" (got "heliport")`}},
		{"kind misspelt, other faults still found", "definition", collection(feature("a", here, `"kind":"hosptial","name":"x","handover":{"typical_s":2,"slow_s":1}`)), []string{
			p + `/handover/slow_s: "slow_s" is the slower of the two: it must be at least "typical_s" (2), got 1`,
			p + `/kind: "kind" must be one of "hospital", "landing_site", "airfield" or "base" (got "hosptial"): did you mean "hospital"?`}},
		{"name empty", "definition", collection(feature("a", here, `"kind":"base","name":""`)), []string{
			p + `/name: "name" must be a name on one line, without control characters (got "")`}},
		{"name with a line break", "definition", collection(feature("a", here, `"kind":"base","name":"x\ny"`)), []string{
			p + `/name: "name" must be a name on one line, without control characters (got "x` + "\uFFFD" + `y")`}},
		{"name too long", "definition", collection(feature("a", here, `"kind":"base","name":"`+strings.Repeat("å", 201)+`"`)), []string{
			p + `/name: "name" must have at most 200 characters (has 201)`}},
		{"time zone", "tz database", collection(feature("a", here, `"kind":"base","name":"x","time_zone":"Mid/Ocean"`)), []string{
			p + `/time_zone: "time_zone" "Mid/Ocean" is not a known IANA time zone: use a name such as "Etc/GMT+2"`}},
		{"time zone of the machine", "definition", collection(feature("a", here, `"kind":"base","name":"x","time_zone":"Local"`)), []string{
			p + `/time_zone: "time_zone" "Local" is not a known IANA time zone: use a name such as "Etc/GMT+2"`}},
		{"time zone out of the tree", "definition", collection(feature("a", here, `"kind":"base","name":"x","time_zone":"../etc/passwd"`)), []string{
			p + `/time_zone: "time_zone" "../etc/passwd" is not a known IANA time zone: use a name such as "Etc/GMT+2"`,
			p + `/time_zone: "time_zone" must be an IANA time zone name such as "Etc/GMT+2" (got "../etc/passwd")`}},
		{"near miss in properties", "definition", collection(hospital("a", `,"acepting":{"state":"closed"}`)), []string{
			p + `/acepting: unknown field "acepting": did you mean "accepting"?`}},
		{"near miss by capitals", "definition", collection(site("a", `,"Lit":true`)), []string{
			p + `/Lit: unknown field "Lit": did you mean "lit"?`}},
		{"near miss by separators", "definition", collection(site("a", `,"max-mass kg":5000`)), []string{
			p + `/max-mass kg: unknown field "max-mass kg": did you mean "max_mass_kg"?`}},
		{"near miss in a feature", "definition", collection(strings.Replace(base("a", here), `"geometry"`, `"geometery"`, 1)), []string{
			`/features/0: missing field "geometry": add it`,
			`/features/0/geometery: unknown field "geometery": did you mean "geometry"?`}},
		{"near miss in a geometry", "definition", collection(strings.Replace(base("a", here), `"coordinates"`, `"coordinate"`, 1)), []string{
			`/features/0/geometry: missing field "coordinates": add it`,
			`/features/0/geometry/coordinate: unknown field "coordinate": did you mean "coordinates"?`}},
		{"member beside properties", "definition", collection(`{"capabilities":[],` + base("a", here)[1:]), []string{
			`/features/0/capabilities: "capabilities" belongs in "properties": move it there`}},
		{"feature with features", "RFC 7946 section 7.1", collection(`{"features":[],` + base("a", here)[1:]), []string{
			`/features/0/features: a feature must not have "features": remove it (RFC 7946 section 7.1)`}},
		{"other reference system", "RFC 7946 section 4", []byte(`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::3857"}},"features":[` + base("a", here) + `]}`), []string{
			`/crs: "crs" names another reference system than WGS 84: save the file in WGS 84 (EPSG:4326), longitude first`}},
		{"runway on a hospital", "definition", collection(hospital("a", `,"runway_m":900`)), []string{
			p + `/runway_m: "runway_m" is for airfields only: remove it or correct "kind"`}},
		{"runway on a landing site", "definition", collection(site("a", `,"runway_m":900`)), []string{
			p + `/runway_m: "runway_m" is for airfields only: remove it or correct "kind"`}},
		{"lit on a hospital", "definition", collection(hospital("a", `,"lit":true`)), []string{
			p + `/lit: "lit" is not for a hospital itself: move it into "pad"`}},
		{"surgeons on a base", "definition", collection(feature("a", here, `"kind":"base","name":"x","surgeons":{},"fuel":true,"occupied":{"until":"2031-03-14T22:15:00Z"}`)), []string{
			p + `/occupied: "occupied" is for landing sites and airfields only: remove it or correct "kind"`,
			p + `/surgeons: "surgeons" is for hospitals only: remove it or correct "kind"`}},
		{"fuel and another aircraft on a hospital", "definition", collection(hospital("a", `,"fuel":true,"occupied":{"until":"2031-03-14T22:15:00Z"}`)), []string{
			p + `/fuel: "fuel" is not for a hospital itself: move it into "pad"`,
			p + `/occupied: "occupied" is not for a hospital itself: move it into "pad"`}},
		{"near miss on a base", "definition", collection(feature("a", here, `"kind":"base","name":"x","fuell":true`)), []string{
			p + `/fuell: unknown field "fuell": did you mean "fuel"?`}},
		{"a clear area on a hospital", "definition", collection(hospital("a", `,"clear_area":{"length_m":50,"width_m":30}`)), []string{
			p + `/clear_area: "clear_area" is for landing sites only: remove it or correct "kind"`}},
		{"a clear area without width", "definition", collection(site("a", `,"clear_area":{"length_m":0}`)), []string{
			p + `/clear_area: missing field "width_m": add it`,
			p + `/clear_area/length_m: "length_m" must be more than 0 (got 0)`}},
		{"who is away", "definition", collection(hospital("a", `,"away":[{"what":"surgeons"},{"what":"surgeon","capability":"ecmo","until":"tonight"},{"reason":"x"}]`)), []string{
			p + `/away/0/what: "what" must be one of "surgeon" or "theatre" (got "surgeons"): did you mean "surgeon"?`,
			p + `/away/1/capability: no surgeons are given for "ecmo": use one of "surgeons", or leave it out for all of them`,
			p + `/away/1/until: "until" must look like "2031-03-15T06:00:00Z" (got "tonight")`,
			p + `/away/2: missing field "what": add it`}},
		{"a base's theatre is away", "definition", collection(feature("a", here, `"kind":"base","name":"x","away":[{"what":"theatre"}]`)), []string{
			p + `/away: "away" is for hospitals only: remove it or correct "kind"`}},
		{"occupied without end", "definition", collection(site("a", `,"occupied":{}`)), []string{
			p + `/occupied: missing field "until": add it`}},
		{"occupied until a local time", "RFC 3339 section 5.6", collection(site("a", `,"occupied":{"until":"2031-03-14 22:15"}`)), []string{
			p + `/occupied/until: "until" must look like "2031-03-14T22:15:00Z" (got "2031-03-14 22:15")`}},
		{"occupied, yes", "definition", collection(hospital("a", `,"pad":{"occupied":true}`)), []string{
			p + `/pad/occupied: "occupied" must be an object, got true or false`}},
		{"slow shuttle before typical", "definition: typical <= slow", collection(hospital("a", `,"pad":{"vehicle_needed":true,"shuttle_call":{"typical_s":9,"slow_s":8}}`)), []string{
			p + `/pad/shuttle_call/slow_s: "slow_s" is the slower of the two: it must be at least "typical_s" (9), got 8`}},
		{"fuel in litres", "definition", collection(hospital("a", `,"pad":{"fuel":4000}`)), []string{
			p + `/pad/fuel: "fuel" must be true or false, got a number`}},
		{"unknown inside our own object", "definition", collection(hospital("a", `,"pad":{"lighting":"good","position":[-29.4,45.5]}`)), []string{
			p + `/pad/lighting: unknown field "lighting": remove it, or use one of "fuel", "hours", "lit", "max_d_value_m", "max_mass_kg", "occupied", "position", "shuttle_call", "to_door" and "vehicle_needed"`}},
		{"slow before typical", "definition: typical <= slow", collection(hospital("a", `,"handover":{"typical_s":300,"slow_s":240}`)), []string{
			p + `/handover/slow_s: "slow_s" is the slower of the two: it must be at least "typical_s" (300), got 240`}},
		{"minutes for seconds times a thousand", "definition: two days at most", collection(hospital("a", `,"handover":{"typical_s":300,"slow_s":172801}`)), []string{
			p + `/handover/slow_s: "slow_s" must be at most 172800 (got 172801)`}},
		{"negative duration", "definition", collection(hospital("a", `,"pad":{"to_door":{"typical_s":-1,"slow_s":0}}`)), []string{
			p + `/pad/to_door/typical_s: "typical_s" must be at least 0 (got -1)`}},
		{"half a duration", "definition", collection(hospital("a", `,"handover":{"typical_s":300}`)), []string{
			p + `/handover: missing field "slow_s": add it`}},
		{"clock", "definition", collection(site("a", `,"hours":{"otherwise":{"state":"open"},"weekly":[{"days":["mon"],"from":"24:00","to":"7.30","state":"shut"}]}`)), []string{
			p + `/hours/weekly/0/from: "from" must be a time of day such as "07:30", 00:00 to 23:59 (got "24:00")`,
			p + `/hours/weekly/0/state: "state" must be one of "open" or "closed" (got "shut")`,
			p + `/hours/weekly/0/to: "to" must be a time of day such as "18:00", 00:00 to 24:00 (got "7.30")`}},
		{"date", "Gregorian calendar", collection(site("a", `,"hours":{"otherwise":{"state":"open"},"exceptions":[{"date":"2031-02-29","state":"closed"}]}`)), []string{
			p + `/hours/exceptions/0/date: "date" must look like "2031-12-25" (got "2031-02-29")`}},
		{"no otherwise", "definition", collection(site("a", `,"hours":{}`)), []string{
			p + `/hours: missing field "otherwise": add it`}},
		{"size", "definition", collection(site("a", `,"max_d_value_m":0,"max_mass_kg":-4`)), []string{
			p + `/max_d_value_m: "max_d_value_m" must be more than 0 (got 0)`,
			p + `/max_mass_kg: "max_mass_kg" must be more than 0 (got -4)`}},
		{"surgery without surgeons", "definition", collection(feature("a", here, `"kind":"hospital","name":"x","capabilities":["paediatric_cardiothoracic_surgery"]`)), []string{
			p + `: no "surgeons" entry for "paediatric_cardiothoracic_surgery": add one that says when the surgeon is resident, on_call or absent`}},
		{"surgeons without surgery", "definition", collection(hospital("a", `,"surgeons":{"trauma_surgry":{"otherwise":{"presence":"resident"}},"burns":{"otherwise":{"presence":"absent"}}}`)), []string{
			p + `/surgeons/burns: surgeons are given for "burns", which is not among "capabilities": add it there or remove it here`,
			p + `/surgeons/trauma_surgry: surgeons are given for "trauma_surgry", which is not among "capabilities": did you mean "trauma_surgery"?`}},
		{"presence word", "definition", collection(hospital("a", `,"surgeons":{"ecmo":{"otherwise":{"presence":"on call"}}}`)), []string{
			p + `/surgeons/ecmo/otherwise/presence: "presence" must be one of "resident", "on_call" or "absent" (got "on call"): did you mean "on_call"?`}},
		{"capability that is no word", "definition", collection(feature("a", here, `"kind":"hospital","name":"x","capabilities":["Trauma Surgery"]`)), []string{
			p + `/capabilities/0: "capabilities/0" must be a word of a-z, 0-9 and _ such as "cardiothoracic_surgery" (got "Trauma Surgery")`}},
		{"accepting", "definition", collection(hospital("a", `,"accepting":{"state":"full","until":"tomorrow"}`)), []string{
			p + `/accepting/state: "state" must be one of "open", "divert" or "closed" (got "full")`,
			p + `/accepting/until: "until" must look like "2031-03-15T06:00:00Z" (got "tomorrow")`}},
		{"member twice", "RFC 7493 section 2.3", collection(site("a", `,"lit":true,"lit":false`)), []string{
			p + `/lit: field "lit" is given twice (again at line 1, column ` + strconv.Itoa(bytes.LastIndex(collection(site("a", `,"lit":true,"lit":false`)), []byte(`"lit"`))+1) + `): keep one`}},
		{"cut short", "RFC 8259 section 2", collection(base("a", here))[:100], []string{
			`/features/0/geometry: the document ends in the middle of a value: it may have been cut short (line 1, column 101)`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			list, errs, _ := decode(tt.in)
			assert.Equal(t, tt.want, brief(errs), tt.source)
			assert.Nil(t, list)
		})
	}
}

func TestDecodeWarnings(t *testing.T) {
	const p = "/features/0/properties"
	surgeons := `,"surgeons":{"ecmo":{"otherwise":{"presence":"resident"}}}`
	tests := []struct {
		name, source string
		in           []byte
		want         []string
	}{
		{"unknown capability near a known one", "definition", collection(feature("a", here, `"kind":"hospital","name":"x","capabilities":["trauma_surgrey","dental_surgery"]`)), []string{
			p + `/capabilities/0: capability "trauma_surgrey" is not a known one: did you mean "trauma_surgery"?`,
			p + `/capabilities/1: capability "dental_surgery" is not a known one: it only counts for questions that use the same word`}},
		{"no capabilities", "definition", collection(feature("a", here, `"kind":"hospital","name":"x"`)), []string{
			p + `: no "capabilities": this hospital meets no need but the empty one`}},
		{"no theatre", "definition", collection(hospital("a", surgeons)), []string{
			p + `: no "theatre": the regional default for its readiness applies`}},
		{"call-in of a resident", "definition", collection(hospital("a", `,"theatre":{"otherwise":{}},"surgeons":{"ecmo":{"otherwise":{"presence":"resident","call_in":{"typical_s":1,"slow_s":2}}}}`)), []string{
			p + `/surgeons/ecmo/otherwise/call_in: "call_in" counts only with presence "on_call": remove it or correct "presence"`}},
		{"pad far from the door", "definition: more than 20 km", collection(hospital("a", `,"pad":{"position":[-29.41,45.72]}`)), []string{
			p + `/pad/position: the pad is 22 km from the door: check both positions`}},
		{"a shuttle called for nothing", "definition", collection(hospital("a", `,"pad":{"shuttle_call":{"typical_s":1,"slow_s":2}}`)), []string{
			p + `/pad/shuttle_call: "shuttle_call" counts only with "vehicle_needed": remove it, or set "vehicle_needed" to true`}},
		{"same name", "definition", collection(feature("a", here, `"kind":"base","name":"North  Base"`), feature("b", here, `"kind":"base","name":"north base"`)), []string{
			`/features/1/properties/name: name "north base" is also that of a: people cannot tell them apart`}},
		{"windows overlap across midnight and the week's end", "definition", collection(site("a", `,"hours":{"otherwise":{"state":"open"},"weekly":[
			{"days":["mon"],"from":"00:00","to":"01:00","state":"closed"},{"days":["sun"],"from":"22:00","to":"00:30","state":"open"},
			{"days":["sun"],"from":"20:00","to":"22:00","state":"open"}],
			"exceptions":[{"date":"2031-01-01","state":"closed"},{"date":"2030-12-31","from":"23:00","to":"01:00","state":"open"}]}`)), []string{
			p + `/hours/exceptions/1: the hours overlap those of entry 0, which wins: make them apart if that is not meant`,
			p + `/hours/weekly/1: the hours overlap those of entry 0, which wins: make them apart if that is not meant`}},
		{"one far from the others", "30 degrees of the mean sphere (6371.0088 km)", collection(base("a", `[0,0]`), base("b", `[0,0]`), base("c", `[30,0]`)), []string{
			`/features/2/geometry/coordinates: the position is 3336 km from the middle of the list: check it`}},
		{"one swapped", "acos(1/4) on the mean sphere", collection(base("a", `[-60,0]`), base("b", `[0,-60]`), base("c", `[-60,0]`)), []string{
			`/features/1/geometry/coordinates: the position is 8398 km from the middle of the list: longitude and latitude may be swapped, longitude comes first`}},
		{"region across the antimeridian", "great circle", collection(base("a", `[179.9,-45.5]`), base("b", `[-179.9,-45.4]`), base("c", `[-179.8,-45.5]`), base("d", `[179.7,-45.5]`)), []string{}},
		{"region around the pole", "great circle", collection(base("a", `[0,89]`), base("b", `[120,89]`), base("c", `[-120,89]`)), []string{}},
		{"empty list", "definition", collection(), []string{`/features: the list is empty: nothing can be answered with it`}},
		{"an end in the past is not judged", "no clock is read", collection(hospital("a", `,"accepting":{"state":"closed","until":"1999-01-01T00:00:00Z"}`)), []string{}},
		{"a stay in the past is not judged", "no clock is read", collection(site("a", `,"occupied":{"until":"1999-01-01T00:00:00Z"}`)), []string{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			list, errs, warnings := decode(tt.in)
			require.Empty(t, errs)
			require.NotNil(t, list)
			assert.Equal(t, tt.want, brief(warnings), tt.source)
		})
	}
	t.Run("no time zone at all", func(t *testing.T) {
		list, errs, warnings := facilities.Decode(collection(site("a", `,"hours":{"otherwise":{"state":"open"}}`), site("b", "")), facilities.DecodeOptions{})
		require.Empty(t, errs)
		assert.Equal(t, []string{p + `: no "time_zone" here and none for the region: hours are taken as UTC`}, brief(warnings))
		a, _ := list.Get("a")
		assert.Equal(t, time.UTC, a.Zone)
	})
}

// what map programs write: null in the empty cells of a column, the reference system
// of the older GeoJSON, and members of their own
func TestDecodeFileSavedByAMapProgram(t *testing.T) {
	list, errs, warnings := decode([]byte(`{"type":"FeatureCollection","name":"layer","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}},
		"bbox":[-30,45,-29,46],"features":[{"type":"Feature","id":"a","bbox":[-29,45,-29,45],"geometry":{"type":"Point","coordinates":[-29.4,45.5]},
		"properties":{"fid":3,"kind":"base","name":"A","runway_m":null,"surgeons":null,"time_zone":null,"lit":null}}]}`))
	require.Empty(t, errs)
	assert.Empty(t, warnings)
	assert.Equal(t, 1, list.Len())
	_, errs, _ = decode(collection(feature("a", here, `"kind":null,"name":null`)))
	assert.Equal(t, []string{`/features/0/properties: missing field "kind": add it`, `/features/0/properties: missing field "name": add it`}, brief(errs))
}
