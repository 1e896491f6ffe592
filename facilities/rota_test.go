package facilities_test

import (
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
)

func zoneOf(tb testing.TB, name string) *time.Location {
	tb.Helper()
	zone, err := time.LoadLocation(name)
	require.NoError(tb, err)
	return zone
}

func instant(t *testing.T, text string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, text)
	require.NoError(t, err)
	return at
}

type window = facilities.Window[string]

type exception = facilities.Exception[string]

var (
	everyDay = [7]bool{true, true, true, true, true, true, true}
	sunday   = [7]bool{time.Sunday: true}
	friday   = [7]bool{time.Friday: true}
)

// 2021-03-14 and 2021-11-07 are Sundays; 2031-12-24 is a Wednesday
func TestRotaAt(t *testing.T) {
	week := facilities.Rota[string]{
		Otherwise: "o",
		Weekly: []window{
			{Days: friday, FromMin: 22 * 60, ToMin: 6 * 60, Value: "night"},
			{Days: friday, FromMin: 8 * 60, ToMin: 18 * 60, Value: "day"},
			{Days: friday, FromMin: 8 * 60, ToMin: 9 * 60, Value: "never"},
			{Days: sunday, FromMin: 0, ToMin: 1440, Value: "sunday"},
		},
		Exceptions: []exception{
			{Year: 2031, Month: 12, Day: 25, FromMin: 0, ToMin: 1440, Value: "feast"},
			{Year: 2031, Month: 12, Day: 31, FromMin: 20 * 60, ToMin: 2 * 60, Value: "eve"},
		},
	}
	dst := facilities.Rota[string]{Otherwise: "o", Weekly: []window{{Days: sunday, FromMin: 90, ToMin: 150, Value: "w"}}}
	tests := []struct {
		name, source, zone, at string
		rota                   facilities.Rota[string]
		want                   string
	}{
		{"before a window", "definition", "UTC", "2031-03-14T07:59:59Z", week, "o"},
		{"first second", "definition", "UTC", "2031-03-14T08:00:00Z", week, "day"},
		{"of overlapping windows the first", "definition", "UTC", "2031-03-14T08:30:00Z", week, "day"},
		{"last second", "definition", "UTC", "2031-03-14T17:59:59.999Z", week, "day"},
		{"end", "definition", "UTC", "2031-03-14T18:00:00Z", week, "o"},
		{"across midnight", "definition", "UTC", "2031-03-15T05:59:00Z", week, "night"},
		{"only the night after the day named", "definition", "UTC", "2031-03-14T05:59:00Z", week, "o"},
		{"whole day, first minute", "definition", "UTC", "2031-03-16T00:00:00Z", week, "sunday"},
		{"whole day, last minute", "definition", "UTC", "2031-03-16T23:59:00Z", week, "sunday"},
		{"day after a whole day", "definition", "UTC", "2031-03-17T00:00:00Z", week, "o"},
		{"exception", "definition", "UTC", "2031-12-25T12:00:00Z", week, "feast"},
		{"day after an exception", "definition", "UTC", "2031-12-26T00:00:00Z", week, "o"},
		{"exception across the year's end", "definition", "UTC", "2032-01-01T01:59:00Z", week, "eve"},
		{"after it", "definition", "UTC", "2032-01-01T02:00:00Z", week, "o"},
		{"exception wins over a window", "2026-12-25 is a Friday", "UTC", "2026-12-25T12:00:00Z", facilities.Rota[string]{
			Otherwise: "o", Weekly: week.Weekly, Exceptions: []exception{{Year: 2026, Month: 12, Day: 25, ToMin: 1440, Value: "feast"}}}, "feast"},
		{"local date, east", "tz database: UTC+14", "Pacific/Kiritimati", "2031-12-24T10:00:00Z", week, "feast"},
		{"local date, west", "tz database: UTC-2", "Etc/GMT+2", "2031-12-26T01:59:00Z", week, "feast"},
		{"spring: before the gap", "tz database: clocks go from 02:00 to 03:00 on 2021-03-14", "America/New_York", "2021-03-14T06:59:00Z", dst, "w"},
		{"spring: 03:00 follows 01:59", "tz database: clocks go from 02:00 to 03:00 on 2021-03-14", "America/New_York", "2021-03-14T07:00:00Z", dst, "o"},
		{"autumn: 01:30 for the first time", "tz database: clocks go from 02:00 to 01:00 on 2021-11-07", "America/New_York", "2021-11-07T05:30:00Z", dst, "w"},
		{"autumn: 01:29 for the second time", "tz database: clocks go from 02:00 to 01:00 on 2021-11-07", "America/New_York", "2021-11-07T06:29:00Z", dst, "o"},
		{"autumn: 02:29", "tz database: clocks go from 02:00 to 01:00 on 2021-11-07", "America/New_York", "2021-11-07T07:29:00Z", dst, "w"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, tt.rota.At(instant(t, tt.at), zoneOf(t, tt.zone)), tt.source)
		})
	}
	assert.Equal(t, "x", facilities.Always("x").At(time.Time{}, nil), "no zone counts as UTC")
}

func TestRotaNextStart(t *testing.T) {
	open := func(days [7]bool, from, to int) facilities.Rota[string] {
		return facilities.Rota[string]{Otherwise: "closed", Weekly: []window{{Days: days, FromMin: from, ToMin: to, Value: "open"}}}
	}
	const spring = "tz database: clocks go from 02:00 to 03:00 on 2021-03-14, a Sunday"
	const autumn = "tz database: clocks go from 02:00 to 01:00 on 2021-11-07, a Sunday"
	tests := []struct {
		name, source, zone, from, want string // want "" for none
		rota                           facilities.Rota[string]
		within                         time.Duration
	}{
		{"open already", "definition", "UTC", "2031-03-14T08:00:01Z", "2031-03-14T08:00:01Z", open(friday, 480, 1080), 0},
		{"later the same day", "definition", "UTC", "2031-03-14T07:00:00Z", "2031-03-14T08:00:00Z", open(friday, 480, 1080), time.Hour},
		{"just not within", "definition", "UTC", "2031-03-14T07:00:00Z", "", open(friday, 480, 1080), time.Hour - time.Nanosecond},
		{"next week", "definition", "UTC", "2031-03-14T18:00:00Z", "2031-03-21T08:00:00Z", open(friday, 480, 1080), 7 * 24 * time.Hour},
		{"at midnight", "definition", "UTC", "2031-03-14T18:00:00Z", "2031-03-16T00:00:00Z", open(sunday, 0, 1440), 48 * time.Hour},
		{"never", "definition", "UTC", "2031-03-14T18:00:00Z", "", facilities.Always("closed"), 1 << 62},
		{"closed window ends at midnight", "definition", "UTC", "2031-03-16T12:00:00Z", "2031-03-17T00:00:00Z",
			facilities.Rota[string]{Otherwise: "open", Weekly: []window{{Days: sunday, ToMin: 1440, Value: "closed"}}}, 24 * time.Hour},
		{"after an exception", "definition", "UTC", "2031-03-14T07:00:00Z", "2031-03-14T12:00:00Z",
			facilities.Rota[string]{Otherwise: "open", Exceptions: []exception{{Year: 2031, Month: 3, Day: 13, FromMin: 720, ToMin: 720, Value: "closed"}}}, 24 * time.Hour},
		{"opened by an exception on a later date", "definition", "Etc/GMT+2", "2031-03-14T07:00:00Z", "2031-04-01T11:30:00Z",
			facilities.Rota[string]{Otherwise: "closed", Exceptions: []exception{{Year: 2031, Month: 4, Day: 1, FromMin: 570, ToMin: 600, Value: "open"}}}, 30 * 24 * time.Hour},
		{"window whose start is left out", spring, "America/New_York", "2021-03-14T06:00:00Z", "2021-03-14T07:00:00Z", open(sunday, 150, 240), 6 * time.Hour},
		{"window that is left out whole", spring, "America/New_York", "2021-03-14T06:00:00Z", "2021-03-21T06:10:00Z", open(sunday, 130, 160), 8 * 24 * time.Hour},
		{"window after the gap", spring, "America/New_York", "2021-03-14T06:00:00Z", "2021-03-14T08:00:00Z", open(sunday, 240, 300), 6 * time.Hour},
		{"window that has passed comes again", autumn, "America/New_York", "2021-11-07T05:50:00Z", "2021-11-07T06:30:00Z", open(sunday, 90, 105), 6 * time.Hour},
		{"jump back into a window", autumn, "America/New_York", "2021-11-07T05:50:00Z", "2021-11-07T06:00:00Z", open(sunday, 45, 70), 6 * time.Hour},
		{"half an hour", "tz database: clocks go from 02:00 to 01:30 on 2021-04-04", "Australia/Lord_Howe", "2021-04-03T14:59:00Z", "2021-04-03T15:00:00Z", open(sunday, 80, 95), 6 * time.Hour},
		{"a date that never was", "tz database: 2011-12-30, a Friday, left out", "Pacific/Apia", "2011-12-30T09:00:00Z", "2012-01-05T22:00:00Z", open(friday, 720, 780), 10 * 24 * time.Hour},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			from := instant(t, tt.from)
			got, ok := tt.rota.NextStart(from, zoneOf(t, tt.zone), func(v string) bool { return v == "open" }, tt.within)
			require.Equal(t, tt.want != "", ok, tt.source)
			if ok {
				assert.Equal(t, instant(t, tt.want).UTC(), got.UTC(), tt.source)
				assert.Equal(t, from.Location(), got.Location())
			}
		})
	}
}

// an oracle that looks at every minute, around changes of the clock
func TestRotaNextStartAgainstEveryMinute(t *testing.T) {
	changes := map[string]time.Time{ // tz database
		"America/New_York":    time.Date(2021, 3, 14, 7, 0, 0, 0, time.UTC),
		"Europe/London":       time.Date(2021, 10, 31, 1, 0, 0, 0, time.UTC),
		"Australia/Lord_Howe": time.Date(2021, 4, 3, 15, 0, 0, 0, time.UTC),
		"Pacific/Apia":        time.Date(2011, 12, 30, 10, 0, 0, 0, time.UTC),
		"Asia/Kathmandu":      time.Date(2021, 6, 1, 0, 0, 0, 0, time.UTC),
	}
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.SampledFrom([]string{"America/New_York", "Asia/Kathmandu", "Australia/Lord_Howe", "Europe/London", "Pacific/Apia"}).Draw(rt, "zone")
		zone := zoneOf(t, name)
		from := changes[name].Add(time.Duration(rapid.IntRange(-2*1440, 1440).Draw(rt, "from_min")) * time.Minute)
		minute := rapid.OneOf(rapid.IntRange(0, 1439), rapid.IntRange(30, 240))
		rota := facilities.Rota[bool]{Otherwise: rapid.IntRange(0, 4).Draw(rt, "otherwise") == 0}
		for range rapid.IntRange(0, 3).Draw(rt, "windows") {
			var days [7]bool
			for d := range days {
				days[d] = rapid.Bool().Draw(rt, "day")
			}
			rota.Weekly = append(rota.Weekly, facilities.Window[bool]{Days: days, FromMin: minute.Draw(rt, "from"), ToMin: minute.Draw(rt, "to") + 1, Value: rapid.Bool().Draw(rt, "open")})
		}
		for range rapid.IntRange(0, 2).Draw(rt, "exceptions") {
			y, m, d := from.AddDate(0, 0, rapid.IntRange(-1, 2).Draw(rt, "date")).In(zone).Date()
			rota.Exceptions = append(rota.Exceptions, facilities.Exception[bool]{Year: y, Month: int(m), Day: d, FromMin: minute.Draw(rt, "from"), ToMin: minute.Draw(rt, "to") + 1, Value: rapid.Bool().Draw(rt, "open")})
		}
		const within = 36 * time.Hour
		want, found := time.Time{}, false
		for at := from; !at.After(from.Add(within)) && !found; at = at.Add(time.Minute) {
			if rota.At(at, zone) {
				want, found = at, true
			}
		}
		got, ok := rota.NextStart(from, zone, func(open bool) bool { return open }, within)
		if ok != found || !got.Equal(want) {
			rt.Fatalf("%s from %v: %v %v, minute by minute %v %v", name, from, got, ok, want, found)
		}
	})
}

func TestRotaSurvivesExtremes(t *testing.T) {
	rota := facilities.Rota[bool]{
		Weekly:     []facilities.Window[bool]{{Days: everyDay, FromMin: 1439, ToMin: 0, Value: true}},
		Exceptions: []facilities.Exception[bool]{{Year: 0, Month: 1, Day: 1, ToMin: 1440}, {Year: 9999, Month: 12, Day: 31, ToMin: 1440}},
	}
	isTrue := func(v bool) bool { return v }
	for _, at := range []time.Time{{}, time.Unix(1<<40, 0), time.Unix(-1<<40, 0), time.Unix(1<<62, 0), time.Unix(-1<<62, 0)} {
		for _, within := range []time.Duration{-1 << 63, -1, 0, time.Hour, 1<<63 - 1} {
			rota.At(at, nil)
			rota.NextStart(at, zoneOf(t, "Europe/London"), isTrue, within)
		}
	}
}

func TestGroundOpening(t *testing.T) {
	list, errs, _ := decode(collection(site("a", `,"time_zone":"Etc/GMT+2","hours":{"otherwise":{"state":"closed"},"weekly":[{"days":["sat"],"from":"07:30","to":"18:00","state":"open"}]}`), site("b", "")))
	require.Empty(t, errs)
	a, _ := list.Get("a")
	friday := instant(t, "2031-03-14T12:00:00Z")
	assert.False(t, a.Ground.OpenAt(friday, a.Zone))
	next, ok := a.Ground.NextOpen(friday, a.Zone, 24*time.Hour)
	require.True(t, ok)
	assert.Equal(t, "2031-03-15T09:30:00Z", next.Format(time.RFC3339), "07:30 two hours behind UTC")
	b, _ := list.Get("b")
	assert.True(t, b.Ground.OpenAt(friday, b.Zone), "no hours: always open")
	next, ok = b.Ground.NextOpen(friday, b.Zone, 0)
	assert.True(t, ok)
	assert.Equal(t, friday, next)
}

func TestAcceptingAt(t *testing.T) {
	until := time.Date(2031, 3, 15, 6, 0, 0, 0, time.UTC)
	a := facilities.Accepting{State: facilities.Divert, Until: until}
	assert.Equal(t, facilities.Divert, a.At(until.Add(-1)))
	assert.Equal(t, facilities.Open, a.At(until), "the end itself is open again")
	assert.Equal(t, facilities.Open, facilities.Accepting{}.At(until))
	assert.Equal(t, facilities.Closed, facilities.Accepting{State: facilities.Closed}.At(until))
}
