package table_test

import (
	"encoding/csv"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
	"surgeonward/facilities/table"
)

var form = table.Facilities(facilities.DecodeOptions{Zone: time.UTC})

func file(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}

func example(t testing.TB) []byte { return file(t, "../testdata/example.geojson") }

// merge merges a table that has no faults.
func merge(t testing.TB, into []byte, lines ...string) table.Merged {
	t.Helper()
	got, faults := form.Merge(into, []byte(strings.Join(lines, "\r\n")))
	require.Empty(t, faults)
	return got
}

// Source: RFC 4180 for the form, the example file for what is in it.
func TestWrite(t *testing.T) {
	out, err := form.Write(example(t))
	require.NoError(t, err)
	assert.True(t, strings.HasSuffix(string(out), "\r\n"))
	assert.NotContains(t, strings.ReplaceAll(string(out), "\r\n", ""), "\n")
	rows, err := csv.NewReader(strings.NewReader(string(out))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 4)
	cells := map[string]string{}
	for i, name := range rows[0] {
		cells[name] = rows[1][i]
	}
	for name, want := range map[string]string{
		"id": "tavrin-hospital", "kind": "hospital", "latitude": "45.5213", "longitude": "-29.4102", "time_zone": "Etc/GMT+2",
		"capabilities": "emergency_department trauma_surgery cardiothoracic_surgery cardiopulmonary_bypass perfusionist blood_bank intensive_care",
		"accepting":    "divert", "accepting_reason": "no intensive care bed", "accepting_until": "2031-03-15T06:00:00Z",
		"handover_typical_s": "300", "pad_latitude": "45.5231", "pad_longitude": "-29.4071", "pad_to_door_slow_s": "540", "pad_vehicle_needed": "true",
		"pad_max_d_value_m": "16.5", "pad_lit": "true", "lit": "", "runway_m": "",
	} {
		assert.Equal(t, want, cells[name], name)
	}
}

// What was written changes nothing when it comes back, whatever separates the cells.
func TestRoundTripChangesNothing(t *testing.T) {
	for _, path := range []string{"../testdata/example.geojson", "../../testdata/demo/facilities.geojson"} {
		data := file(t, path)
		out, err := form.Write(data)
		require.NoError(t, err)
		rows, err := csv.NewReader(strings.NewReader(string(out))).ReadAll()
		require.NoError(t, err)
		for _, separator := range []rune{',', ';', '\t'} {
			for _, comma := range []bool{false, separator != ','} {
				var b strings.Builder
				b.WriteString("\ufeff")
				w := csv.NewWriter(&b)
				w.Comma = separator
				for i, row := range rows {
					cells := append([]string{}, row...)
					for j := range cells {
						if _, err := strconv.ParseFloat(cells[j], 64); err == nil && i > 0 && comma {
							cells[j] = strings.Replace(cells[j], ".", ",", 1)
						}
					}
					require.NoError(t, w.Write(cells))
				}
				w.Flush()
				got, faults := form.Merge(data, []byte(b.String()))
				require.Empty(t, faults)
				assert.Equal(t, string(data), string(got.File), "byte for byte")
				assert.Empty(t, append(got.Added, got.Changed...))
				assert.Equal(t, len(rows)-1, got.Same)
				assert.Equal(t, separator != ',', len(got.Notes) == 1, "how it was read is said")
			}
		}
	}
}

func TestMergeChangesOnlyWhatItNames(t *testing.T) {
	before := string(example(t))
	for _, c := range []struct {
		name    string
		lines   []string
		was, is string // in the file
	}{
		{"a name", []string{"id,name", "quellick-field,Quellick green"}, `"name": "Quellick sports field"`, `"name": "Quellick green"`},
		{"latitude alone, the height stays", []string{"id,latitude", "quellick-field,45.4407"}, `[-29.2514, 45.4406, 12.5]`, `[-29.2514, 45.4407, 12.5]`},
		{"a position in a semicolon table", []string{"id;longitude;latitude", "quellick-field;-29,2515;45,4407"}, `[-29.2514, 45.4406, 12.5]`, `[-29.2515, 45.4407, 12.5]`},
		{"a pad's position", []string{"pad_latitude,id", "45.5232,tavrin-hospital"}, `"position": [-29.4071, 45.5231]`, `"position": [-29.4071, 45.5232]`},
		{"a truth", []string{"id,lit", "quellick-field,TRUE"}, `"lit": false,
        "road_access": true,
        "fuel": false`, `"lit": true,
        "road_access": true,
        "fuel": false`},
		{"a number", []string{"sep=;", "id;runway_m", "morvane-airfield;1400"}, `"runway_m": 1350`, `"runway_m": 1400`},
		{"a reason alone", []string{"id,accepting,accepting_reason", "tavrin-hospital,divert,two theatres down"}, `"reason": "no intensive care bed"`, `"reason": "two theatres down"`},
		{"a new state drops the old reason and end", []string{"id,accepting", "tavrin-hospital,closed"},
			`{ "state": "divert", "reason": "no intensive care bed", "until": "2031-03-15T06:00:00Z" }`, `{ "state": "closed" }`},
		{"a new state with its own end", []string{"id,accepting,accepting_until", "tavrin-hospital,closed,2031-03-15T08:00:00Z"},
			`{ "state": "divert", "reason": "no intensive care bed", "until": "2031-03-15T06:00:00Z" }`, `{ "state": "closed", "until": "2031-03-15T08:00:00Z" }`},
		{"a hyphen takes away", []string{"id,accepting_until", "tavrin-hospital,-"}, `, "until": "2031-03-15T06:00:00Z" }`, ` }`},
		{"the same instant in another zone", []string{"id,accepting_until", "tavrin-hospital,2031-03-15T04:00:00-02:00"}, "", ""},
		{"the same words in another order", []string{"id,capabilities", "tavrin-hospital,blood_bank emergency_department trauma_surgery cardiothoracic_surgery cardiopulmonary_bypass perfusionist intensive_care"}, "", ""},
		{"the same number written otherwise", []string{"id,max_d_value_m", "quellick-field,020.00"}, "", ""},
		{"blank cells and rows, and columns that are not known", []string{"id,name,telephone,,lit", "quellick-field,,4410,,", ",,,,", ""}, "", ""},
		{"an apostrophe is taken off", []string{"id,name", "quellick-field,'+1 field"}, `"name": "Quellick sports field"`, `"name": "+1 field"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := merge(t, []byte(before), c.lines...)
			want := before
			if c.was != "" {
				require.Equal(t, 1, strings.Count(before, c.was))
				want = strings.Replace(before, c.was, c.is, 1)
				assert.Len(t, got.Changed, 1)
			} else {
				assert.Empty(t, got.Changed)
				assert.Equal(t, 1, got.Same)
			}
			assert.Equal(t, want, string(got.File))
			assert.Empty(t, got.Added)
		})
	}
}

func TestMergeAdds(t *testing.T) {
	got := merge(t, example(t), "id,kind,name,latitude,longitude,time_zone,fuel", "north-base,base,North base & <hangar>,45.51,-29.39,Etc/GMT+2,true", "quellick-field,,,,,,")
	assert.Equal(t, []string{"north-base"}, got.Added)
	assert.Empty(t, got.Changed)
	list, errs, _ := facilities.Decode(got.File, facilities.DecodeOptions{})
	require.Empty(t, errs)
	f, ok := list.Get("north-base")
	require.True(t, ok)
	assert.Equal(t, "North base & <hangar>", f.Name)
	assert.Equal(t, 45.51, f.Position.Lat())
	assert.True(t, f.Fuel)
	assert.Contains(t, string(got.File), `"North base & <hangar>"`, "readable in the file")
	assert.True(t, strings.HasPrefix(string(got.File), strings.TrimSuffix(string(example(t)), "\n    }\n  ]\n}\n")), "what was there is untouched")

	empty := merge(t, []byte(`{"type":"FeatureCollection","features":[]}`), "id,kind,name,latitude,longitude", "a,base,A,1,2")
	assert.Equal(t, []string{"a"}, empty.Added)
}

func TestMergeFindsEveryFault(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []string
		want  []string
	}{
		{"nothing", nil, []string{"line 1: the table has no header"}},
		{"empty header", []string{"", "  "}, []string{"the header has no column id"}},
		{"no header", []string{"tavrin-hospital,hospital,Tavrin"}, []string{"the header has no column id, by which rows are matched; the columns are id, kind"}},
		{"misspelt columns", []string{"id,lattitude,Longitude,accepting_util,id"}, []string{
			`line 1, column lattitude: no column has this name: did you mean "latitude"?`, `line 1, column Longitude: no column has this name: did you mean "longitude"?`,
			`did you mean "accepting_until"?`, "line 1, column id: the column is there twice"}},
		{"cells of every kind", []string{"id,latitude,longitude,lit,max_mass_kg,name", "quellick-field,north,\"29,25\",maybe,5 t,=1+1", ",1,1,,,", "quellick-field,,,,,", "morvane-airfield,129.41,45.52,,,"}, []string{
			`line 2, column latitude (quellick-field): "north" is not a plain number`, `line 2, column longitude (quellick-field): "29,25" has a comma: write a decimal point`,
			`line 2, column lit (quellick-field): "maybe" is neither true nor false`, `line 2, column max_mass_kg (quellick-field): "5 t" is not a plain number`,
			`line 2, column name (quellick-field): the text begins with =`, `line 3, column id: the row has no id`, `line 4, column id (quellick-field): line 2 has the same id`,
			`line 5, column latitude (morvane-airfield): "129.41" is outside -90 to 90 degrees: latitude and longitude may be swapped`}},
		{"swapped and both in range", []string{"id,latitude,longitude", "morvane-airfield,-29.6308,45.6127", "new-base,-29.6,45.6"}, []string{
			"line 2, column latitude (morvane-airfield): latitude and longitude are swapped", "line 3, column latitude (new-base): latitude and longitude are swapped"}},
		{"half a position", []string{"id,kind,name,latitude", "new-base,base,New,45.5"}, []string{"line 2, column longitude (new-base): a position has latitude and longitude: fill in both"}},
		{"what only the list's rules see", []string{"id,kind,name,latitude,longitude,accepting,accepting_until", "tavrin-hospital,,,,,maybe,soon", "Bad Id,base,Bad,45.5,-29.4,,", "quellick-field,bas,,,,,"}, []string{
			"column accepting (tavrin-hospital)", "column accepting_until (tavrin-hospital)", "line 3, column id (Bad Id)", "line 4, column kind (quellick-field)"}},
		{"a hospital without its rota", []string{"id,kind,name,latitude,longitude,capabilities", "new-hospital,hospital,New,45.5,-29.4,cardiothoracic_surgery"}, []string{`line 2 (new-hospital): no "surgeons" entry`}},
		{"words with commas", []string{"id,capabilities", `tavrin-hospital,"burns,ecmo"`}, []string{`has a comma or a semicolon: put spaces between the words`}},
		{"more cells than columns", []string{"id,name", "quellick-field,Quellick, the field"}, []string{"line 2: the row has 3 cells and the header 2: put a cell that has a comma in it between quotation marks"}},
		{"quotation marks", []string{"id,name", `quellick-field,a"b`, `morvane-airfield,"a"b`, "tavrin-hospital,\"never closed"}, []string{"line 2: a quotation mark is out of place", "line 3: a quotation mark is out of place", "line 4: a quotation mark is out of place"}},
		{"another encoding", []string{"id,name", "quellick-field,Caf\xe9"}, []string{"line 2: the table is not UTF-8 text: save it as CSV UTF-8"}},
		{"two-byte text", []string{"\xff\xfei\x00d\x00"}, []string{"line 1: the table is not UTF-8 text"}},
		{"a long cell", []string{"id,name", "quellick-field," + strings.Repeat("x", 4001)}, []string{"line 2, column name: the cell has 4001 bytes"}},
		{"decimal places of both kinds", []string{"id;latitude", "quellick-field;1.234,5"}, []string{`"1.234,5" is not a plain number`}},
		{"exponent", []string{"id,max_mass_kg", "quellick-field,1E+05"}, []string{`"1E+05" is not a plain number`}},
		{"not a number", []string{"id,latitude,longitude", "quellick-field,NaN,Inf"}, []string{`"NaN" is not a plain number`, `"Inf" is not a plain number`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, faults := form.Merge(example(t), []byte(strings.Join(c.lines, "\n")))
			assert.Equal(t, table.Merged{}, got, "nothing is merged")
			lines := make([]string, len(faults))
			for i, f := range faults {
				lines[i] = f.String()
			}
			all := strings.Join(lines, "\n")
			for _, want := range c.want {
				assert.Contains(t, all, want)
			}
			assert.Len(t, faults, len(c.want), all)
		})
	}
	_, faults := form.Merge([]byte("{"), []byte("id\na"))
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].Detail, "the file that the table is for cannot be read")
	broken := strings.Replace(string(example(t)), `"runway_m": 1350`, `"runway_m": "long"`, 1)
	_, faults = form.Merge([]byte(broken), []byte("id,name\nquellick-field,New"))
	require.Len(t, faults, 1)
	assert.Equal(t, table.Fault{Column: "runway_m", ID: "morvane-airfield", Detail: faults[0].Detail}, faults[0])
	assert.Contains(t, faults[0].Detail, "the file has had this fault before")
}

// No text becomes a formula in a spreadsheet, and every text comes back as it was.
func TestTextsAreNoFormulas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[=+\-@'a-c ]{1,6}`).Draw(t, "text")
		safe := table.SafeText(text)
		assert.NotContains(t, "=+-@\t\r", safe[:1])
	})
	for _, name := range []string{"=HYPERLINK(\"http://x\")", "+1", "-1", "@SUM(1)", "'quoted'", "''", "plain", "a=b", "-"} {
		data := strings.Replace(string(example(t)), `"Quellick sports field"`, strconv.Quote(name), 1)
		out, err := form.Write([]byte(data))
		require.NoError(t, err)
		got, faults := form.Merge([]byte(data), out)
		require.Empty(t, faults, name)
		assert.Equal(t, data, string(got.File), name)
		got, faults = form.Merge(example(t), out)
		require.Empty(t, faults, name)
		assert.Equal(t, data, string(got.File), "%s is written into another copy as it was", name)
	}
}

func TestMergeInBoundedMemory(t *testing.T) {
	for name, c := range map[string]struct {
		in, says string
		maxBytes uint64
	}{
		"too many rows":           {"id,name\n" + strings.Repeat("quellick-field,x\n", 100_000), "more than 10000 rows", 40 << 20},
		"a million rows":          {"id,name\n" + strings.Repeat("quellick-field,x\n", 1_000_000), "at most 8388608 are read", 1 << 20},
		"100 MB":                  {strings.Repeat("x", 100<<20), "at most 8388608 are read", 1 << 20},
		"a million columns":       {strings.Repeat("id,", 1_000_000), "longer than 262144 bytes", 1 << 20},
		"a row of commas":         {"id\n" + strings.Repeat(",", 2_000_000), "line 2: the line is longer", 1 << 20},
		"one quotation mark":      {"id,name\nx,\"" + strings.Repeat("y\n", 1<<20), "quotation mark is out of place", 100 << 20},
		"faults without end":      {"id,latitude\n" + strings.Repeat("a,b\n", 9000), "more are not shown", 40 << 20},
		"quotation marks for all": {"id,name\n" + strings.Repeat("a,b\"\n", 100_000), "more are not shown", 100 << 20},
	} {
		t.Run(name, func(t *testing.T) {
			into, data := example(t), []byte(c.in)
			_, _ = form.Merge(into, nil) // reading the schema once is not what is measured
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, faults := form.Merge(into, data)
			runtime.ReadMemStats(&after)
			require.NotEmpty(t, faults)
			assert.LessOrEqual(t, len(faults), 201)
			all := ""
			for _, f := range faults {
				all += f.String() + "\n"
			}
			assert.Contains(t, all, c.says)
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, c.maxBytes)
		})
	}
}

func FuzzMerge(f *testing.F) {
	full, err := form.Write(example(f))
	require.NoError(f, err)
	for _, seed := range []string{
		"", string(full), "id", "id\n", "id,name\nquellick-field,x", "id;latitude\nquellick-field;45,5", "sep=;\nid;lit\nquellick-field;true", "\ufeffid,name\r\nx,y\r\n",
		"id,latitude,longitude\nquellick-field,90,180", "id,pad_latitude,pad_longitude\ntavrin-hospital,-,-", "id,accepting\ntavrin-hospital,-", "id,kind\ntavrin-hospital,base",
		"id,handover_typical_s,handover_slow_s\ntavrin-hospital,-,5", "id,name\na,\"", "id\tname\na\tb", strings.Repeat(",", 300), "id,runway_m\nmorvane-airfield,1" + strings.Repeat("0", 39), "\x00", "\xff\xfe",
	} {
		f.Add([]byte(seed))
	}
	base := example(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		got, faults := form.Merge(base, data)
		if len(faults) > 0 {
			require.Nil(t, got.File)
			for _, fault := range faults {
				require.NotEmpty(t, fault.Detail)
			}
			return
		}
		list, errs, _ := facilities.Decode(got.File, facilities.DecodeOptions{Zone: time.UTC})
		require.Empty(t, errs, "what is merged can be used")
		for _, id := range []string{"tavrin-hospital", "quellick-field", "morvane-airfield"} {
			_, ok := list.Get(id)
			require.True(t, ok, "nothing is lost")
		}
		require.Contains(t, string(got.File), `"survey_number": 9007199254740993`, "nor what the program does not know")
		again, faults := form.Merge(got.File, data)
		require.Empty(t, faults)
		require.Equal(t, string(got.File), string(again.File), "a second time changes nothing")
	})
}
