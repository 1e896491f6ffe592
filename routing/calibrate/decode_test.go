package calibrate_test

import (
	"bytes"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
	"surgeonward/routing/calibrate"
)

const head = "journey_id,stage,asset,area,started_at,duration_s,from_lon,from_lat,to_lon,to_lat,driven_m\n"

func TestDecode(t *testing.T) {
	text := "\ufeff" + head +
		"17,travel_road,amb-11,coast,2031-03-14T21:40:00-02:00,912.5,-29.41,45.52,-29.5,45.6,14200\r\n" +
		"17,mobilise_ambulance,amb-11,,2031-03-14T14:00:00Z,95,-29.41,45.52,,,\n" +
		"18,mobilise_ambulance,,,2031-03-14T02:00:00Z,140,-29.41,45.52,,,\n" +
		"18, handover ,,,2031-03-14T02:20:00Z,200,-29.41,45.52,,,\n"
	got, faults := calibrate.Decode([]byte(text))
	require.Empty(t, faults)
	want := []calibrate.Journey{
		{Row: 2, ID: "17", Stage: calibrate.TravelRoad, Asset: "amb-11", Area: "coast", DurationS: 912.5, DrivenM: 14200,
			StartedAt: time.Date(2031, 3, 14, 23, 40, 0, 0, time.UTC), From: orb.Point{-29.41, 45.52}, To: orb.Point{-29.5, 45.6}},
		// 14:00 UTC is noon at 30 degrees west; 02:00 UTC is midnight.
		{Row: 3, ID: "17", Stage: "mobilise_ambulance_day", Asset: "amb-11", DurationS: 95,
			StartedAt: time.Date(2031, 3, 14, 14, 0, 0, 0, time.UTC), From: orb.Point{-29.41, 45.52}},
		{Row: 4, ID: "18", Stage: "mobilise_ambulance_night", DurationS: 140,
			StartedAt: time.Date(2031, 3, 14, 2, 0, 0, 0, time.UTC), From: orb.Point{-29.41, 45.52}},
		{Row: 5, ID: "18", Stage: "handover", DurationS: 200,
			StartedAt: time.Date(2031, 3, 14, 2, 20, 0, 0, time.UTC), From: orb.Point{-29.41, 45.52}},
	}
	assert.Equal(t, want, got)
}

func TestDecodeNeedsSixColumns(t *testing.T) {
	got, faults := calibrate.Decode([]byte("from_lat,from_lon,duration_s,started_at,stage,journey_id,x_note\n45.5,-29.4,180,2031-03-14T12:00:00Z,handover,1,by hand\n"))
	require.Empty(t, faults)
	assert.Len(t, got, 1)
}

// Source of every row: the format as Decode documents it.
func TestDecodeFaults(t *testing.T) {
	row := func(changes ...string) string {
		cells := strings.Split("17,travel_road,amb-11,coast,2031-03-14T21:40:00Z,900,-29.41,45.52,-29.5,45.6,14200", ",")
		for i := 0; i < len(changes); i += 2 {
			for k, name := range calibrate.Columns() {
				if name == changes[i] {
					cells[k] = changes[i+1]
				}
			}
		}
		return head + strings.Join(cells, ",") + "\n"
	}
	for _, tc := range []struct {
		name, text string
		want       []string // the whole of each fault's start
	}{
		{"nothing", "", []string{"the file is empty"}},
		{"no journeys", head, []string{"the file names columns but has no journeys"}},
		{"misspelt column", strings.Replace(row(), "duration_s", "duraton_s", 1),
			[]string{`row 1: unknown column "duraton_s": did you mean "duration_s"?`, "row 1: column duration_s is missing"}},
		{"foreign column", strings.Replace(row(), "driven_m", "weather", 1), []string{`row 1: unknown column "weather": there are journey_id, `}},
		{"column twice", strings.Replace(row(), "area", "asset", 1), []string{`row 1: column "asset" is there twice`}},
		{"column without a name", strings.Replace(row(), "area", "", 1), []string{"row 1: column 4 has no name"}},
		{"semicolons", strings.ReplaceAll(row(), ",", ";"), []string{"row 1: the columns are not separated by commas"}},
		{"a name", strings.Replace(row(), "area", "Name", 1), []string{`row 1: column "Name" looks as if it told who a patient is: no patient identity is accepted`}},
		{"a patient", strings.Replace(row(), "area", "patientId", 1), []string{`row 1: column "patientId" looks as if`}},
		{"a birthday under x_", strings.Replace(row(), "area", "x_date_of_birth", 1), []string{`row 1: column "x_date_of_birth" looks as if`}},
		{"a name among ids", row("journey_id", "John Doe"), []string{`row 2, column journey_id: "John Doe" is not 1 to 64 letters`}},
		{"no id", row("journey_id", ""), []string{"row 2, column journey_id: empty"}},
		{"misspelt stage", row("stage", "travel_raod"), []string{`row 2, column stage: unknown stage "travel_raod": did you mean "travel_road"?`}},
		{"light in the stage", row("stage", "mobilise_ambulance_night", "driven_m", ""), []string{`row 2, column stage: write "mobilise_ambulance"`}},
		{"foreign stage", row("stage", "lunch"), []string{`row 2, column stage: unknown stage "lunch": it is travel_road, travel_air or`}},
		{"no stage", row("stage", ""), []string{"row 2, column stage: empty"}},
		{"no zone", row("started_at", "2031-03-14T21:40:00"), []string{`row 2, column started_at: "2031-03-14T21:40:00" is not a time with its zone`}},
		{"long ago", row("started_at", "1031-03-14T21:40:00Z"), []string{"row 2, column started_at: the year 1031 is outside 1970 to 2199"}},
		{"no time at all", row("duration_s", "0"), []string{"row 2, column duration_s: 0 is outside 1 to 172800"}},
		{"minutes as a clock", row("duration_s", "15:00"), []string{`row 2, column duration_s: "15:00" is not a plain number`}},
		{"not a number", row("duration_s", "NaN"), []string{`row 2, column duration_s: "NaN" is not a plain number`}},
		{"infinite", row("duration_s", "Inf"), []string{`row 2, column duration_s: "Inf" is not a plain number`}},
		{"exponent", row("duration_s", "1e300"), []string{`row 2, column duration_s: "1e300" is not a plain number`}},
		{"hexadecimal", row("duration_s", "0x10"), []string{`row 2, column duration_s: "0x10" is not a plain number`}},
		{"too long", row("duration_s", "172801"), []string{"row 2, column duration_s: 172801 is outside"}},
		{"swapped position", row("from_lon", "45.52", "from_lat", "-129.41"), []string{"row 2, column from_lon and from_lat: latitude -129.41 is outside"}},
		{"travel without an end", row("to_lon", "", "to_lat", ""), []string{"row 2, column to_lon: empty", "row 2, column to_lat: empty"}},
		{"driven by air", row("stage", "travel_air"), []string{"row 2, column driven_m: a distance driven belongs to travel_road"}},
		{"driven nothing", row("driven_m", "0"), []string{"row 2, column driven_m: 0 is outside 1 to 5000000"}},
		{"too few values", head + "1,handover\n", []string{"row 2: 2 values where the header names 11 columns"}},
		{"the same twice", row() + strings.TrimPrefix(row(), head), []string{"row 3: the same journey, stage and start as row 2"}},
		{"a quote that does not end", head + "\"1,handover\n", []string{"row 2: not CSV"}},
		{"many at once", row("journey_id", "", "stage", "handoverr", "duration_s", "-3", "from_lat", "95"), []string{
			"row 2, column journey_id: ", "row 2, column duration_s: ", "row 2, column from_lon and from_lat: ", "row 2, column stage: "}},
		{"control characters", row("asset", "a\x1b[2J"), []string{`row 2, column asset: "a\x1b[2J" is not`}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, faults := calibrate.Decode([]byte(tc.text))
			assert.Nil(t, got)
			var lines []string
			for _, f := range faults {
				lines = append(lines, f.String())
			}
			require.Len(t, lines, len(tc.want), "%q", lines)
			for i, want := range tc.want {
				assert.True(t, strings.HasPrefix(lines[i], want), "%q does not start with %q", lines[i], want)
			}
		})
	}
}

// Every stage that Stages lists is one that Decode takes, and names allowances
// of the model, for day or for night where there are two.
func TestStages(t *testing.T) {
	known := routing.AllowanceIDs()
	for _, stage := range calibrate.Stages() {
		rest := ",,\n"
		if strings.HasPrefix(stage, "travel_") {
			rest = "-29.5,45.6,\n"
		}
		got, faults := calibrate.Decode([]byte(head + "1," + stage + ",,,2031-03-14T14:00:00Z,100,-29.41,45.52," + rest))
		require.Empty(t, faults, stage)
		if !strings.HasPrefix(stage, "travel_") {
			assert.Contains(t, known, got[0].Stage)
		}
	}
}

func TestDecodeBoundsFaults(t *testing.T) {
	_, faults := calibrate.Decode([]byte(head + strings.Repeat("x\n", 5000)))
	require.Len(t, faults, 1001)
	assert.Equal(t, "4000 more faults: mend these first", faults[1000].String())
}

func TestDecodeBoundsSize(t *testing.T) {
	_, faults := calibrate.Decode(bytes.Repeat([]byte("x"), calibrate.MaxBytes+1))
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].String(), "over the limit")

	text := "journey_id,stage,started_at,duration_s,from_lon,from_lat\n"
	for i := range 11 {
		text += strconv.Itoa(i) + ",handover,2031-03-14T12:00:00Z,100,-29.4,45.5\n"
	}
	_, faults = calibrate.DecodeAtMost([]byte(text), 10)
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].String(), "row 12: more than 10 journeys")
	_, faults = calibrate.DecodeAtMost([]byte(text), 11)
	assert.Empty(t, faults)
}

// encode writes journeys so that Decode reads them back.
func encode(journeys []calibrate.Journey) string {
	var b strings.Builder
	b.WriteString(head)
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	for i := range journeys {
		j := &journeys[i]
		stage := strings.TrimSuffix(strings.TrimSuffix(j.Stage, "_"+calibrate.Day), "_"+calibrate.Night)
		cells := []string{j.ID, stage, j.Asset, j.Area, j.StartedAt.Format(time.RFC3339Nano), number(j.DurationS),
			number(j.From.Lon()), number(j.From.Lat()), "", "", ""}
		if strings.HasPrefix(stage, "travel_") {
			cells[8], cells[9] = number(j.To.Lon()), number(j.To.Lat())
		}
		if j.DrivenM > 0 {
			cells[10] = number(j.DrivenM)
		}
		b.WriteString(strings.Join(cells, ",") + "\n")
	}
	return b.String()
}

func FuzzDecode(f *testing.F) {
	for _, seed := range []string{
		"", head, head + "17,travel_road,a,b,2031-03-14T21:40:00Z,900,-29.41,45.52,-29.5,45.6,14200\n",
		head + "1,mobilise_helicopter,a,b,1970-01-01T00:00:00.5+14:00,1,180,90,,,\n2,refuel,,,2199-12-31T23:59:59Z,172800,-180,-90,,,\n",
		head + "1,travel_air,,,2031-03-14T21:40:00Z,1e308,NaN,-Inf,+0.0,-0,\n",
		"journey_id;stage\n1;2\n", "\"", "\xef\xbb\xbf\xff\xfe", "name\n1\n", head + "\"\n\n\n\",,,\n",
		strings.Repeat(",", 3000) + "\n", head + strings.Repeat("9", 400) + "\n",
		head + "1,travel_road,,,2031-03-14T21:40:00Z,999999999999999.99999999999999999999,0,0,0,0,0.00000000000000000001\n",
	} {
		f.Add(seed)
	}
	settings := routing.DefaultSettings()
	f.Fuzz(func(t *testing.T, text string) {
		journeys, faults := calibrate.Decode([]byte(text))
		require.Equal(t, len(faults) == 0, journeys != nil)
		for _, fault := range faults {
			for _, r := range fault.String() {
				require.True(t, r >= ' ' && r < 0x7f || r > 0xa0, "%q", fault.String())
			}
		}
		for i := range journeys {
			j := &journeys[i]
			require.True(t, j.DurationS >= 1 && j.DurationS <= 172800)
			require.True(t, j.DrivenM == 0 || j.DrivenM >= 1)
		}
		if journeys == nil {
			return
		}
		again, faults := calibrate.Decode([]byte(encode(journeys)))
		require.Empty(t, faults)
		for i := range again {
			again[i].Row = journeys[i].Row // blank lines and line breaks in quotes are gone
		}
		require.Equal(t, journeys, again)
		// Whatever is accepted can be calibrated on.
		result := calibrate.Calibrate(journeys, settings, nil, calibrate.Options{Replicates: 20, Folds: 2})
		require.Equal(t, len(journeys), result.Journeys)
		require.NotEmpty(t, result.Text())
		_, err := result.Patch.Text()
		require.NoError(t, err)
	})
}
