package region_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
	"surgeonward/facilities"
)

func TestWith(t *testing.T) {
	r, report := region.Demo()
	require.Empty(t, report.Faults)
	for _, c := range []struct {
		name, scenario string
		holds          func(t *testing.T, r *region.Region)
	}{
		{"nothing", `{"name": "as it is"}`, func(t *testing.T, w *region.Region) { assert.Equal(t, r.Hashes, w.Hashes) }},
		{"an asset changed", `{"fleet.json": {"heli-2": {"night_flying": true, "hours": null}}}`, func(t *testing.T, w *region.Region) {
			for _, a := range w.Fleet.Assets() {
				if a.ID == "heli-2" {
					assert.True(t, a.NightFlying)
					assert.Nil(t, a.Hours)
				}
			}
			assert.Equal(t, r.Hashes.Facilities, w.Hashes.Facilities)
		}},
		{"a base and an asset added", `{"facilities.geojson": {"air-new": {"geometry": {"type": "Point", "coordinates": [-29.8, 45.6]},
			"properties": {"kind": "base", "name": "New base"}}}, "fleet.json": {"amb-99": {"name": "Ambulance 99", "kind": "ambulance", "base": "air-new"}}}`,
			func(t *testing.T, w *region.Region) {
				_, ok := w.Facilities.Get("air-new")
				assert.True(t, ok)
				assert.Len(t, w.Fleet.Assets(), len(r.Fleet.Assets())+1)
			}},
		{"an asset closed", `{"fleet.json": {"heli-4": null}}`, func(t *testing.T, w *region.Region) {
			assert.Len(t, w.Fleet.Assets(), len(r.Fleet.Assets())-1)
		}},
		{"a resident surgeon", `{"facilities.geojson": {"ossuvaune-general": {"properties": {"surgeons": {"cardiothoracic_surgery": {"otherwise": {"presence": "resident", "call_in": null}, "weekly": null}}}}}}`,
			func(t *testing.T, w *region.Region) {
				f, ok := w.Facilities.Get("ossuvaune-general")
				require.True(t, ok)
				presence, _ := f.PresenceAt("cardiothoracic_surgery", time.Date(2031, 3, 14, 2, 0, 0, 0, time.UTC))
				assert.Equal(t, facilities.Resident, presence.Attendance)
			}},
		{"a crossing taken away", `{"roads.geojson": {"muorque-bridge": null}}`, func(t *testing.T, w *region.Region) {
			assert.Len(t, w.RoadMap().Crossings, len(r.RoadMap().Crossings)-1)
		}},
		{"a number of the region's own", `{"settings.json": {"road": {"road_factor": 1.5}}}`, func(t *testing.T, w *region.Region) {
			assert.InDelta(t, 1.5, w.Settings.RoadFactor, 0)
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, _, report := r.With([]byte(c.scenario))
			require.Empty(t, report.Faults)
			c.holds(t, w)
		})
	}
}

// TestWithFaults: every fault at once, each where the document of changes has what is
// wrong. Source: RFC 6901 by hand.
func TestWithFaults(t *testing.T) {
	r, report := region.Demo()
	require.Empty(t, report.Faults)
	for _, c := range []struct {
		name, scenario string
		says           []string // pointer and words
	}{
		{"no JSON", `{`, []string{"the scenario"}},
		{"no object", `[]`, []string{"(file): must be an object"}},
		{"another file", `{"fleet": {}, "map.geojson": {}, "name": 3}`,
			[]string{`/fleet: "fleet" is no file`, `/map.geojson: "map.geojson" is no file`, "/name: name must be a text"}},
		{"no elements", `{"fleet.json": []}`, []string{"/fleet.json: fleet.json must be an object of elements"}},
		{"no element", `{"fleet.json": {"heli-2": 3, "": {}}}`, []string{"/fleet.json/heli-2: ", "must be an object, or null", "/fleet.json/: ", "needs an id"}},
		{"nothing to take out", `{"fleet.json": {"nobody": null, "no/one": null}}`, []string{`/fleet.json/nobody: `, `/fleet.json/no~1one: `}},
		{"another id", `{"fleet.json": {"heli-2": {"id": "heli-3"}}}`, []string{"/fleet.json/heli-2: ", "another id"}},
		{"what the region does not take", `{"fleet.json": {"heli-2": {"base": "nowhere", "cruise_kt": "fast"}, "heli-1": {"speed": 3}}}`,
			[]string{"/fleet.json/heli-2/cruise_kt: ", "/fleet.json/heli-1/speed: "}},
		{"no such base", `{"fleet.json": {"heli-2": {"base": "nowhere"}}}`, []string{`/fleet.json/heli-2/base: no facility "nowhere"`}},
		{"what is missing", `{"fleet.json": {"new": {"name": "New"}}}`, []string{`/fleet.json/new: missing field "kind"`}},
		{"a place far off", `{"facilities.geojson": {"new": {"geometry": {"type": "Point", "coordinates": [45, -129]}, "properties": {"kind": "base", "name": "New"}}}}`,
			[]string{"new /facilities.geojson/new/geometry/coordinates"}},
		{"the settings", `{"settings.json": {"road": {"road_factor": -1}}}`, []string{"/settings.json/road/road_factor: "}},
		{"the base of an asset closed", `{"facilities.geojson": {"air-quorreth": null}}`,
			[]string{`(file): with this change, fleet.json, "heli-`, `no facility "air-quorreth"`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, _, report := r.With([]byte(c.scenario))
			assert.Nil(t, w)
			var all string
			for _, f := range report.Faults {
				all += f.String() + "\n"
			}
			for _, s := range c.says {
				assert.Contains(t, all, s)
			}
		})
	}
}
