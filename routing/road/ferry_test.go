package road_test

import (
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/routing/road"
)

// strait is a wall with a quay on either side, and two places some way off.
var strait = draw(`
......a......
.............
S....p.q....T
.............
......b......`)

// shut closes the wall off, so that the crossings alone lead over it.
func shut() feature {
	s := strait
	far := func(p orb.Point, lat float64) orb.Point { return orb.Point{p[0], lat} }
	return wall(far(s['a'], 1), far(s['b'], -1), orb.Point{-1, -1}, orb.Point{-1, 1}, far(s['a'], 1))
}

func timetable(rows ...any) props { return props{"departures": props{"weekly": rows}} }

func row(from string, times []string, days ...string) props {
	r := props{"times": times, "days": days}
	if from != "" {
		r["from"] = from
	}
	return r
}

var (
	weekdays  = []string{"mon", "tue", "wed", "thu", "fri"}
	weekend   = []string{"sat", "sun"}
	daily     = append(append([]string(nil), weekdays...), weekend...)
	durations = props{
		"sailing":  props{"typical_s": 1800, "slow_s": 2400},
		"boarding": props{"typical_s": 300, "slow_s": 600},
	}
)

func TestTimetable(t *testing.T) {
	const source = "arithmetic: arrival + boarding, the next departure, the sailing"
	require.Equal(t, time.Friday, noon.Weekday(), "definition: what the rows below rely on")
	rows := timetable(
		row("start", []string{"18:00", "08:00", "12:30"}, weekdays...),
		row("start", []string{"10:00"}, weekend...),
		row("end", []string{"09:00", "00:10"}, daily...),
	).with(durations)
	islands := time.FixedZone("", -2*3600)
	azores, err := time.LoadLocation("Atlantic/Azores")
	require.NoError(t, err)
	at := func(day, hour, minute, second int, zone *time.Location) time.Time {
		return time.Date(2031, 3, day, hour, minute, second, 0, zone)
	}
	const h, min = 3600.0, 60.0
	for _, c := range []struct {
		name    string
		back    bool
		zone    *time.Location
		depart  time.Time
		typical float64
		slow    float64
		says    string
	}{
		{"the next today", false, time.UTC, at(14, 12, 0, 0, time.UTC), 60 * min, 70 * min, "the ferry at 12:30 after 30 min on the quay, 30 min under way; great circle"},
		{"just ready", false, time.UTC, at(14, 12, 25, 0, time.UTC), 35 * min, 5*h + 35*min + 40*min, "at 12:30"},
		{"a second late", false, time.UTC, at(14, 12, 25, 1, time.UTC), 5*h + 35*min + 30*min - 1, 5*h + 35*min + 40*min - 1, "at 18:00"},
		{"slow to board misses it", false, time.UTC, at(14, 12, 22, 0, time.UTC), 38 * min, 5*h + 38*min + 40*min, "the ferry at 12:30 (a slow vehicle: 18:00) after 8 min on the quay"},
		{"the last has gone", false, time.UTC, at(14, 18, 0, 0, time.UTC), 16*h + 30*min, 16*h + 40*min, "at 10:00 after 16 h 00 min on the quay"},
		{"over Sunday night", false, time.UTC, at(16, 23, 0, 0, time.UTC), 9*h + 30*min, 9*h + 40*min, "at 08:00"},
		{"the other way, slow just ready", true, time.UTC, at(14, 8, 50, 0, time.UTC), 40 * min, 50 * min, "at 09:00"},
		{"past midnight", true, time.UTC, at(14, 23, 50, 0, time.UTC), 50 * min, 60 * min, "at 00:10"},
		{"local time", false, islands, at(14, 14, 0, 0, time.UTC), 60 * min, 70 * min, "at 12:30"},
		{"the local day", false, islands, at(17, 1, 0, 0, time.UTC), 9*h + 30*min, 9*h + 40*min, "at 08:00"}, // still Sunday there
		// Clocks go forward by an hour at midnight before Sunday 30 March.
		{"the short night", false, azores, at(29, 22, 0, 0, azores), 11*h + 30*min, 11*h + 40*min, "at 10:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, faults, _ := road.Decode(document(shut(), crossing("ferry", "the ferry", strait['p'], strait['q'], rows)), road.DecodeOptions{Zone: c.zone})
			require.Empty(t, faults)
			tr, err := road.NewTerrain(m, straightRoads)
			require.NoError(t, err)
			from, to := strait['p'], strait['q']
			if c.back {
				from, to = to, from
			}
			got, err := tr.Route(from, to, plain, c.depart)
			require.NoError(t, err)
			const tolS = 1e-3
			assert.InDelta(t, c.typical, got.TypicalS, tolS, source)
			assert.InDelta(t, c.slow, got.SlowS, tolS, source)
			assert.Contains(t, got.Basis, c.says)
		})
	}
}

func TestFerryAtIntervals(t *testing.T) {
	const source = "definition: boarding, half the interval (slow: nine tenths), sailing"
	hours := props{"otherwise": props{"state": "closed"}, "weekly": []any{
		props{"days": daily, "from": "06:00", "to": "22:00", "state": "open"}}}
	at := func(hour, minute int) time.Time { return time.Date(2031, 3, 14, hour, minute, 0, 0, time.UTC) }
	for _, c := range []struct {
		name          string
		hours         any
		depart        time.Time
		typical, slow float64
	}{
		{"by day", hours, at(12, 0), 300 + 600 + 1800, 600 + 1080 + 2400},
		{"always", nil, at(3, 0), 300 + 600 + 1800, 600 + 1080 + 2400},
		{"before the first", hours, at(5, 0), 3600 + 600 + 1800, 3600 + 1080 + 2400},
		{"ready as it stops", hours, at(21, 55), 300 + 8*3600 + 600 + 1800, 300 + 8*3600 + 1080 + 2400},
	} {
		t.Run(c.name, func(t *testing.T) {
			more := props{"interval_s": 1200}.with(durations)
			if c.hours != nil {
				more["hours"] = c.hours
			}
			tr := terrain(t, straightRoads, shut(), crossing("ferry", "the ferry", strait['p'], strait['q'], more))
			got, err := tr.Route(strait['p'], strait['q'], plain, c.depart)
			require.NoError(t, err)
			const tolS = 1e-3
			assert.InDelta(t, c.typical, got.TypicalS, tolS, source)
			assert.InDelta(t, c.slow, got.SlowS, tolS, source)
		})
	}
}

// A ferry is a stop: the law applies to the stretch before it and to the one
// after it. The way over the water is no road.
func TestFerryIsAStop(t *testing.T) {
	tr := terrain(t, straightRoads, shut(),
		crossing("ferry", "the ferry", strait['p'], strait['q'], props{"interval_s": 1200}.with(durations)))
	got, err := tr.Route(strait['S'], strait['T'], calgary, noon)
	require.NoError(t, err)
	one, err := calgary.Timing(lengthM(strait.line("Sp")))
	require.NoError(t, err)
	two, err := calgary.Timing(lengthM(strait.line("qT")))
	require.NoError(t, err)
	const tolS, tolM = 1e-3, 1e-6
	assert.InDelta(t, one.TypicalS+300+600+1800+two.TypicalS, got.TypicalS, tolS, "identity: two travels and a ferry")
	assert.InDelta(t, one.SlowS+600+1080+2400+two.SlowS, got.SlowS, tolS, "identity: all of it slow at once")
	assert.InDelta(t, lengthM(strait.line("Sp"))+lengthM(strait.line("qT")), got.DistanceM, tolM)
	assert.Equal(t, "road 5.6 km: 5.6 km x 1; the ferry after 15 min on the quay, 30 min under way; road 5.6 km: 5.6 km x 1; "+
		"great circle 13.3 km in all, accelerating at 41 km/h per minute to 100.7 km/h", got.Basis)
	require.Len(t, got.Path, 4)
}

// Two ferries, or a bridge a little farther on: what is quickest depends on
// when one leaves.
func TestTheTimetableDecides(t *testing.T) {
	bridgeFrom, bridgeTo := orb.Point{strait['p'][0], 0.1}, orb.Point{strait['q'][0], 0.1}
	tr := terrain(t, straightRoads, shut(),
		crossing("bridge", "the far bridge", bridgeFrom, bridgeTo, nil),
		crossing("ferry", "the ferry", strait['p'], strait['q'], timetable(row("", []string{"12:15"}, daily...)).with(props{
			"sailing": props{"typical_s": 120, "slow_s": 120}})))
	early, err := tr.Route(strait['S'], strait['T'], plain, noon)
	require.NoError(t, err)
	assert.Contains(t, early.Basis, "the ferry at 12:15")
	late, err := tr.Route(strait['S'], strait['T'], plain, noon.Add(15*time.Minute))
	require.NoError(t, err)
	assert.Contains(t, late.Basis, "by the far bridge", "definition: the ferry has gone")
	assert.Greater(t, late.TypicalS, early.TypicalS)
}

func TestNoSailingInTime(t *testing.T) {
	// On Mondays only; it is Friday noon, and nothing over two days is timed.
	tr := terrain(t, straightRoads, shut(),
		crossing("ferry", "the ferry", strait['p'], strait['q'], timetable(row("", []string{"12:00"}, "mon")).with(durations)))
	_, err := tr.Route(strait['S'], strait['T'], plain, noon)
	require.ErrorIs(t, err, road.ErrUnreachable)
	assert.EqualError(t, err, "not reachable by road: the ferry has no sailing in time; no other way")

	_, err = tr.Route(strait['S'], strait['T'], plain, time.Time{})
	assert.EqualError(t, err, "the departure time is missing: the ferry depends on it")
	assert.NotErrorIs(t, err, road.ErrUnreachable)
}

// A slow vehicle that no sailing takes within two days does not make the way
// impossible: its time is the longest there is.
func TestSlowMissesTheLast(t *testing.T) {
	tr := terrain(t, straightRoads, shut(),
		crossing("ferry", "the ferry", strait['p'], strait['q'], timetable(row("", []string{"12:06"}, "fri")).with(durations)))
	got, err := tr.Route(strait['p'], strait['q'], plain, noon)
	require.NoError(t, err)
	const tolS = 1e-3
	assert.InDelta(t, 360+1800, got.TypicalS, tolS, "arithmetic: ready at 12:05, sails at 12:06")
	assert.Equal(t, facilities.MaxTiming, got.SlowS, "definition: ready at 12:10, a week late")
	assert.Contains(t, got.Basis, "the ferry at 12:06 (a slow vehicle has none within two days)")
}

// A ferry that sails too late is no better than a closed bridge; both are
// named if both are needed, and the bridge alone if it would do.
func TestReasonWithALateFerry(t *testing.T) {
	late := crossing("ferry", "the ferry", strait['p'], strait['q'], timetable(row("", []string{"12:00"}, "mon")).with(durations))
	bridge := crossing("bridge", "the bridge", orb.Point{strait['p'][0], 0.01}, orb.Point{strait['q'][0], 0.01}, props{"closed": props{"reason": "ice"}})
	_, err := terrain(t, straightRoads, shut(), late, bridge).Route(orb.Point{0.03, 0.01}, orb.Point{0.09, 0.01}, plain, noon)
	assert.EqualError(t, err, "not reachable by road: the bridge is closed: ice; no other way")
}

// Of two ferries to the quay of a third, the one that lands first counts.
func TestChainOfFerries(t *testing.T) {
	s := draw(`
a....b...e....f...
..................
..S.p.q.r.s.......
..........T.......
...v..w...........
d....c...h....g...`)
	sails := func(typicalS float64) props {
		return props{"interval_s": 60, "sailing": props{"typical_s": typicalS, "slow_s": typicalS}}
	}
	tr := terrain(t, straightRoads, wall(s.line("abcda")...), wall(s.line("efghe")...),
		crossing("ferry", "slow ferry", s['v'], s['w'], sails(3000)),
		crossing("ferry", "last ferry", s['r'], s['s'], sails(600)),
		crossing("ferry", "quick ferry", s['p'], s['q'], sails(600)))
	got, err := tr.Route(s['S'], s['T'], plain, noon)
	require.NoError(t, err)
	want := 2 * (30 + 600.0)
	for _, stretch := range []string{"Sp", "qr", "sT"} {
		driveS, err := plain.Time(lengthM(s.line(stretch)))
		require.NoError(t, err)
		want += driveS
	}
	const tolS = 1e-3
	assert.InDelta(t, want, got.TypicalS, tolS, "arithmetic: three stretches and two ferries")
	assert.Equal(t, s.line("SpqrsT"), got.Path, "definition: crossings are drawn as in the file")
}
