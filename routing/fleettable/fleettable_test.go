package fleettable_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/facilities/table"
	"surgeonward/routing"
	"surgeonward/routing/fleettable"
)

const demo = "../../testdata/demo/"

// form is that of the demo region, and its fleet file.
func form(t testing.TB) (*table.Form, []byte) {
	t.Helper()
	read := func(name string) []byte {
		data, err := os.ReadFile(demo + name)
		require.NoError(t, err)
		return data
	}
	list, errs, _ := facilities.Decode(read("facilities.geojson"), facilities.DecodeOptions{})
	require.Empty(t, errs)
	settings, faults, _ := routing.DecodeSettings(read("settings.json"))
	require.Empty(t, faults)
	return fleettable.Form(list, settings), read("fleet.json")
}

func TestRoundTripChangesNothing(t *testing.T) {
	f, fleet := form(t)
	out, err := f.Write(fleet)
	require.NoError(t, err)
	got, faults := f.Merge(fleet, out)
	require.Empty(t, faults)
	assert.Equal(t, string(fleet), string(got.File))
	assert.Positive(t, got.Same)
	assert.Empty(t, append(got.Added, got.Changed...))
}

func TestMerge(t *testing.T) {
	f, fleet := form(t)
	got, faults := f.Merge(fleet, []byte("id;kind;name;base;skills;cruise_kt;mobilise_day_typical_s\nheli-1;;;;;140,5;300\namb-new;ambulance;New ambulance;air-ossuvaune;paramedic physician;;\n"))
	require.Empty(t, faults)
	assert.Equal(t, []string{"heli-1"}, got.Changed)
	assert.Equal(t, []string{"amb-new"}, got.Added)
	want := strings.Replace(string(fleet), `"cruise_kt": 137`, `"cruise_kt": 140.5`, 1)
	want = strings.Replace(want, `"day": {"typical_s": 420, "slow_s": 600}`, `"day": {"typical_s": 300, "slow_s": 600}`, 1)
	assert.True(t, strings.HasPrefix(string(got.File), strings.TrimRight(want, "\n ]}")), "nothing else is touched")
	var file struct{ Assets []map[string]any }
	require.NoError(t, json.Unmarshal(got.File, &file))
	assert.Equal(t, map[string]any{"id": "amb-new", "kind": "ambulance", "name": "New ambulance", "base": "air-ossuvaune", "skills": []any{"paramedic", "physician"}}, file.Assets[len(file.Assets)-1])
}

func TestMergeFaults(t *testing.T) {
	f, fleet := form(t)
	_, faults := f.Merge(fleet, []byte("id,kind,base,pilots,runway_m,skils\nheli-1,,air-nowhere,3,,\n"))
	require.Len(t, faults, 1, "the header first")
	assert.Contains(t, faults[0].String(), `line 1, column skils: no column has this name: did you mean "skills"?`)

	_, faults = f.Merge(fleet, []byte("id,kind,base,pilots,runway_m,latitude,longitude\nheli-1,,air-nowhere,3,,,\nheli-2,,,,900,,\nheli-3,,,,,45.5,\nghost,,,,,,\n"))
	all := ""
	for _, fault := range faults {
		all += fault.String() + "\n"
	}
	assert.Contains(t, all, "line 4, column longitude (heli-3): a position has latitude and longitude: fill in both")

	_, faults = f.Merge(fleet, []byte("id,kind,base,pilots,runway_m\nheli-1,,air-nowhere,3,\nheli-2,,,,900\nghost,,,,\n"))
	all = ""
	for _, fault := range faults {
		all += fault.String() + "\n"
	}
	for _, want := range []string{"line 2, column base (heli-1): no facility \"air-nowhere\"", "line 2, column pilots (heli-1)", "line 3, column runway_m (heli-2)", "line 4 (ghost)"} {
		assert.Contains(t, all, want)
	}
}

// Every column leads to a member that the fleet's schema knows.
func TestColumnsAreOfTheSchema(t *testing.T) {
	f, fleet := form(t)
	for _, c := range f.Columns {
		if c.Name == "id" || c.Type == table.Latitude || c.Type == table.Longitude {
			continue
		}
		cell := map[table.Type]string{table.Text: "x", table.Words: "x", table.Number: "1", table.Truth: "true", table.Instant: "2031-03-15T06:00:00Z"}[c.Type]
		_, faults := f.Merge(fleet, []byte("id,"+c.Name+"\nheli-1,"+cell+"\n"))
		for _, fault := range faults {
			assert.NotContains(t, fault.Detail, "unknown field", c.Name)
		}
	}
}

func FuzzMerge(f *testing.F) {
	form, fleet := form(f)
	out, err := form.Write(fleet)
	require.NoError(f, err)
	for _, seed := range []string{string(out), "", "id\nheli-1", "id,latitude,longitude\nheli-1,90,180", "id,fuel_s\nheli-1,-", "id,kind\nheli-1,ambulance", "id;cruise_kt\nheli-1;1,5"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		got, faults := form.Merge(fleet, data)
		if len(faults) > 0 {
			require.Nil(t, got.File)
			return
		}
		require.Empty(t, form.Check(got.File), "what is merged can be used")
		again, faults := form.Merge(got.File, data)
		require.Empty(t, faults)
		require.Equal(t, string(got.File), string(again.File))
	})
}
