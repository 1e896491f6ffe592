package road_test

import (
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/road"
)

func TestClosures(t *testing.T) {
	zone := time.FixedZone("", -2*3600)
	local := func(month time.Month, day, hour, minute int) time.Time {
		return time.Date(2031, month, day, hour, minute, 0, 0, zone)
	}
	until := props{"closed": props{"reason": "flooding", "until": "2031-03-15T06:00:00-02:00"}}
	winter := props{"closed_months": []int{12, 1, 2}}
	for _, c := range []struct {
		name   string
		kind   string
		more   props
		depart time.Time
		says   string // "" where it is open
	}{
		{"open", "bridge", nil, local(3, 14, 12, 0), ""},
		{"by hand, no end known", "bridge", props{"closed": props{"reason": "a landslide"}}, local(3, 14, 12, 0), "the crossing is closed: a landslide; no other way"},
		{"until this morning", "bridge", until, local(3, 15, 5, 59), "the crossing is closed until 06:00: flooding; no other way"},
		{"until tomorrow", "bridge", until, local(3, 14, 23, 0), "the crossing is closed until 06:00 on 15 March: flooding; no other way"},
		{"until next year", "bridge", until, local(3, 14, 23, 0).AddDate(-1, 0, 0), "closed until 06:00 on 15 March 2031"},
		{"as it expires", "bridge", until, local(3, 15, 6, 0), ""},
		{"a ferry too", "ferry", until.with(props{"interval_s": 60, "sailing": props{"typical_s": 60, "slow_s": 60}}), local(3, 15, 5, 59), "closed until 06:00"},
		{"a ferry again", "ferry", until.with(props{"interval_s": 60, "sailing": props{"typical_s": 60, "slow_s": 60}}), local(3, 15, 6, 0), ""},
		{"in season", "pass", winter, local(3, 1, 0, 0), ""},
		{"the last minute of winter", "pass", winter, local(2, 28, 23, 59), "the crossing is closed in February; no other way"},
		{"the first minute of winter", "pass", winter, local(12, 1, 0, 0), "closed in December"},
		{"the last of autumn", "pass", winter, local(11, 30, 23, 59), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, faults, _ := road.Decode(document(shut(), crossing(c.kind, "the crossing", strait['p'], strait['q'], c.more)), road.DecodeOptions{Zone: zone})
			require.Empty(t, faults)
			tr, err := road.NewTerrain(m, straightRoads)
			require.NoError(t, err)
			_, err = tr.Route(strait['S'], strait['T'], plain, c.depart)
			if c.says == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, road.ErrUnreachable)
			assert.ErrorContains(t, err, c.says, "definition")
		})
	}
}

// The reason names what has to open: as few crossings as will do, and all of
// them, but none that would not help.
func TestReasonNamesWhatWouldHelp(t *testing.T) {
	s := draw(`
a....b...e....f...
..................
..S.p.q.r.s.......
..........T.......
..v...............
d.w..c...h....g...`)
	shutBy := func(why string) props { return props{"closed": props{"reason": why}} }
	features := []feature{
		wall(s.line("abcda")...), wall(s.line("efghe")...),
		crossing("bridge", "west bridge", s['p'], s['q'], shutBy("ice")),
		crossing("bridge", "east bridge", s['r'], s['s'], shutBy("wind")),
		crossing("bridge", "south bridge", s['v'], orb.Point{s['w'][0], s['w'][1] - 0.01}, shutBy("works")),
	}
	_, err := terrain(t, straightRoads, features...).Route(s['S'], s['T'], plain, noon)
	require.ErrorIs(t, err, road.ErrUnreachable)
	assert.EqualError(t, err, "not reachable by road: west bridge is closed: ice; east bridge is closed: wind; no other way")

	features[4].props = features[4].props.with(props{"closed": nil})
	_, err = terrain(t, straightRoads, features...).Route(s['S'], s['T'], plain, noon)
	assert.EqualError(t, err, "not reachable by road: east bridge is closed: wind; no other way", "by the south bridge")

	_, err = terrain(t, straightRoads, features[:3]...).Route(s['S'], s['T'], plain, noon)
	assert.EqualError(t, err, "not reachable by road: the wall lies between, and no crossing leads there", "opening the west bridge alone would not help")
}

// The barrier that is named is the one that cannot be passed, not one that
// happens to lie on the straight way.
func TestReasonNamesTheBarrierThatCounts(t *testing.T) {
	s := draw(`
a.......b....
.............
.S..c....q.T.
....d........
g.......e....`)
	hedge, shore := wall(s.line("cd")...), coast("the shore", s.line("abeg")...)
	hedge.props = hedge.props.with(props{"name": "the hedge"})
	islet := coast("the islet", orb.Point{s['q'][0], 0}, orb.Point{0.13, 0}, orb.Point{0.13, -0.04}, orb.Point{s['q'][0], -0.04})
	_, err := terrain(t, straightRoads, hedge, shore, islet).Route(s['S'], s['T'], plain, noon)
	assert.EqualError(t, err, "not reachable by road: the shore lies between, and no crossing leads there")
}
