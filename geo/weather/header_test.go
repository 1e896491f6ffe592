package weather_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo/weather"
)

// The month of a day is the one that brings it nearest to the reference time.
func TestMonthOfAReport(t *testing.T) {
	const source = "definition: nearest instant with that day of the month and time"
	utc := func(year int, month time.Month, day, hour, minute int) time.Time {
		return time.Date(year, month, day, hour, minute, 0, 0, time.UTC)
	}
	for _, row := range []struct {
		name, issued string
		ref, want    time.Time
	}{
		{"same hour", "161200Z", near, at(16, 12, 0)},
		{"yesterday, last month", "282350Z", utc(2031, 3, 1, 0, 10), utc(2031, 2, 28, 23, 50)},
		{"leap day", "292350Z", utc(2032, 3, 1, 0, 10), utc(2032, 2, 29, 23, 50)},
		{"last year", "312350Z", utc(2031, 1, 1, 0, 10), utc(2030, 12, 31, 23, 50)},
		{"a clock that is behind", "010010Z", utc(2030, 12, 31, 23, 50), utc(2031, 1, 1, 0, 10)},
		{"no 31st this month or the last", "310000Z", utc(2031, 3, 1, 0, 0), utc(2031, 1, 31, 0, 0)},
		{"reference in another zone", "010010Z", utc(2031, 1, 1, 0, 0).In(time.FixedZone("", -9*3600)), utc(2031, 1, 1, 0, 10)},
	} {
		t.Run(row.name, func(t *testing.T) {
			r, err := weather.ParseReport("METAR YUDO "+row.issued+" CAVOK", row.ref)
			require.NoError(t, err)
			assert.Equal(t, row.want, r.Issued, source)
		})
	}
}

func TestForecastAcrossMonths(t *testing.T) {
	const source = "definition: the period begins near the issue and ends after it begins"
	ref := time.Date(2031, 2, 28, 17, 40, 0, 0, time.UTC)
	f, err := weather.ParseForecast("TAF YUDO 281730Z 2818/0124 CAVOK TEMPO 0102/0104 0500 FG FM010600 24008KT 9999 SKC", ref)
	require.NoError(t, err)
	assert.Equal(t, time.Date(2031, 2, 28, 18, 0, 0, 0, time.UTC), f.From, source)
	assert.Equal(t, time.Date(2031, 3, 2, 0, 0, 0, 0, time.UTC), f.To, source)
	assert.Equal(t, time.Date(2031, 3, 1, 2, 0, 0, 0, time.UTC), f.Changes[0].From, source)
	assert.Equal(t, time.Date(2031, 3, 1, 6, 0, 0, 0, time.UTC), f.Changes[1].From, source)
}

func TestTrendTimes(t *testing.T) {
	const source = "ICAO Annex 3, chapter 6: two hours from the time of the report (from memory)"
	r := report(t, "METAR YUDO 162330Z CAVOK BECMG FM2345 TL0030 5000 TEMPO 3000 BECMG AT0015 NSW NOSIG")
	require.Len(t, r.Trends, 3)
	assert.Equal(t, [2]time.Time{at(16, 23, 45), at(17, 0, 30)}, [2]time.Time{r.Trends[0].From, r.Trends[0].To}, source)
	assert.Equal(t, [2]time.Time{at(16, 23, 30), at(17, 1, 30)}, [2]time.Time{r.Trends[1].From, r.Trends[1].To}, source)
	assert.Equal(t, at(17, 0, 15), r.Trends[2].From, source)
	assert.True(t, r.NoSignificantChange)
	assert.Empty(t, r.Unread)

	assert.Equal(t, at(17, 0, 0), report(t, "METAR YUDO 162330Z CAVOK BECMG TL2400 5000").Trends[0].To, source)
}

func TestUnreadableTrend(t *testing.T) {
	for _, bad := range []string{
		"BECMG FM2560 0500 FG", "BECMG TL2200 0500", "TEMPO FM0100 TL0000 0500", "PROB30 0500 FG", "INTER 0500 FG",
	} {
		r := report(t, "METAR YUDO 162330Z 9999 SKC "+bad)
		assert.Equal(t, []string{bad}, r.Unread, ours)
		require.Len(t, r.Trends, 1)
		assert.Equal(t, weather.Unreadable, r.Trends[0].Kind, ours)
		assertVisibility9999(t, r.Base)
	}
	r := report(t, "METAR YUDO 162330Z CAVOK NOSIG XYZZY")
	assert.Equal(t, []string{"XYZZY"}, r.Unread, ours)
}

func TestFormsOfTheHeader(t *testing.T) {
	for _, text := range []string{
		"METAR COR YUDO 161200Z AUTO CAVOK", "METAR YUDO 161200Z COR AUTO CAVOK=", "  metar yudo 161200z auto cca\r\n cavok = ",
		"COR YUDO 161200Z AUTO CAVOK", "METAR\u00a0YUDO 161200Z AUTO COR CAVOK",
	} {
		r := report(t, text)
		assert.Equal(t, "YUDO", r.Station, text)
		assert.Equal(t, at(16, 12, 0), r.Issued, text)
		assert.True(t, r.Auto && r.Corrected, text)
		assert.Empty(t, r.Unread, text)
	}
}

func TestParseTellsThemApart(t *testing.T) {
	for text, isForecast := range map[string]bool{
		"METAR YUDO 161200Z CAVOK":                   false,
		"YUDO 161200Z CAVOK":                         false,
		"TAF YUDO 161100Z 1612/1712 CAVOK":           true,
		"YUDO 161100Z 1612/1712 CAVOK":               true,
		"TAF YUDO 161100Z NIL":                       true,
		"SPECI YUDO 161200Z CAVOK TEMPO 1612/1613 0": false,
	} {
		r, f, err := weather.Parse(text, near)
		require.NoError(t, err, text)
		assert.Equal(t, isForecast, f != nil, text)
		assert.Equal(t, !isForecast, r != nil, text)
	}
	for _, text := range []string{"", "TAF YUDO", "METAR YUDO", strings.Repeat("TAF ", 600)} {
		r, f, err := weather.Parse(text, near)
		assert.Error(t, err)
		assert.True(t, r == nil && f == nil)
	}
}

func TestReportErrors(t *testing.T) {
	for _, row := range []struct{ name, text, says string }{
		{"empty", " \n\t", "is empty"},
		{"only the end", "=", "is empty"},
		{"too long", "METAR YUDO 161200Z " + strings.Repeat("FG ", 700), "at most 2000"},
		{"control character", "METAR YUDO\x00 161200Z CAVOK", `'\x00' at byte 10`},
		{"letter outside ASCII", "METAR YUDO 161200Z CAVÖK", "'Ö'"},
		{"broken encoding", "METAR YUDO 161200Z \xff", "does not occur"},
		{"two messages", "METAR YUDO 161200Z CAVOK= METAR YUDB 161200Z CAVOK=", "one message at a time"},
		{"a forecast", "TAF YUDO 161100Z 1612/1712 CAVOK", "this is a forecast"},
		{"a forecast without its word", "YUDO 161100Z 1612/1712 CAVOK", "this is a forecast"},
		{"no time", "METAR YUDO CAVOK", `no time of observation such as 221630Z after "METAR YUDO"`},
		{"no such day", "METAR YUDO 321200Z CAVOK", "no time of observation"},
		{"no such hour", "METAR YUDO 162400Z CAVOK", "no time of observation"},
		{"nothing", "METAR YUDO 161200Z", "no weather that could be read"},
		{"only remarks", "METAR YUDO 161200Z RMK CAVOK", "no weather that could be read"},
	} {
		t.Run(row.name, func(t *testing.T) {
			r, err := weather.ParseReport(row.text, near)
			assert.ErrorContains(t, err, row.says)
			assert.Equal(t, weather.Report{}, r)
		})
	}
	_, err := weather.ParseReport("METAR YUDO 161200Z CAVOK", time.Date(-5, 1, 1, 0, 0, 0, 0, time.UTC))
	assert.ErrorContains(t, err, "year -5")
	_, err = weather.ParseForecast("TAF YUDO 161100Z 1612/1712 CAVOK", time.Date(10001, 1, 1, 0, 0, 0, 0, time.UTC))
	assert.ErrorContains(t, err, "year 10001")
	_, err = weather.ParseForecast("", near)
	assert.ErrorContains(t, err, "is empty")
}
