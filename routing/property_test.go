package routing_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"surgeonward/routing"
)

// scatter is a random region: hospitals, bases and assets around the scene.
type scatter struct {
	hospitals, bases []orb.Point
	kinds            []string
}

func draw(t *rapid.T) scatter {
	around := func(label string) orb.Point {
		return place(rapid.Float64Range(0, 360).Draw(t, label+" bearing"), rapid.Float64Range(500, 150_000).Draw(t, label+" metres"))
	}
	var s scatter
	for i := range rapid.IntRange(1, 4).Draw(t, "hospitals") {
		s.hospitals = append(s.hospitals, around(fmt.Sprint("hospital ", i)))
	}
	for i := range rapid.IntRange(1, 5).Draw(t, "assets") {
		s.bases = append(s.bases, around(fmt.Sprint("base ", i)))
		s.kinds = append(s.kinds, rapid.SampledFrom([]string{"ambulance", "helicopter", "response_car"}).Draw(t, fmt.Sprint("kind ", i)))
	}
	return s
}

func (s scatter) fixture() *fixture {
	f := toy()
	for i, p := range s.hospitals {
		f.hospital(fmt.Sprintf("h%d", i), p)
	}
	for i, p := range s.bases {
		f.facility(fmt.Sprintf("b%d", i), "base", p, "")
		f.asset(fmt.Sprintf("a%d", i), s.kinds[i], fmt.Sprintf(`"base":"b%d"`, i))
	}
	return f
}

func totals(ans routing.Answer) map[string]float64 {
	out := map[string]float64{}
	for _, o := range ans.Options {
		out[o.ID] = o.Total.TypicalS
	}
	return out
}

// A slower twin of any asset changes neither the winner nor its time.
func TestASlowerAssetNeverWins(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := draw(rt)
		before := ask(t, s.fixture().engine(t))
		if len(before.Options) == 0 {
			return
		}
		f := s.fixture()
		i := rapid.IntRange(0, len(s.kinds)-1).Draw(rt, "slowed")
		f.asset("slower", s.kinds[i], fmt.Sprintf(`"base":"b%d","mobilise":{"day":{"typical_s":1200,"slow_s":1200},"night":{"typical_s":1200,"slow_s":1200}}`, i))
		after := ask(t, f.engine(t))
		assert.Equal(t, before.Options[0].ID, after.Options[0].ID)
		assert.Equal(t, before.Options[0].Total, after.Options[0].Total)
	})
}

// Another asset, whatever it is, never makes the best time longer.
func TestMoreAssetsNeverHurt(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := draw(rt)
		before := ask(t, s.fixture().engine(t))
		f := s.fixture()
		f.facility("extra", "base", place(rapid.Float64Range(0, 360).Draw(rt, "bearing"), rapid.Float64Range(0, 90_000).Draw(rt, "metres")), "")
		f.asset("more", "ambulance", `"base":"extra"`)
		after := ask(t, f.engine(t))
		if len(before.Options) > 0 {
			assert.LessOrEqual(t, after.Options[0].Total.TypicalS, before.Options[0].Total.TypicalS)
		}
	})
}

// Mirrored at the scene's meridian, every option takes as long as before.
func TestMirrorImage(t *testing.T) {
	mirror := func(points []orb.Point) (out []orb.Point) {
		for _, p := range points {
			out = append(out, orb.Point{2*scene[0] - p[0], p[1]})
		}
		return out
	}
	rapid.Check(t, func(rt *rapid.T) {
		s := draw(rt)
		m := scatter{hospitals: mirror(s.hospitals), bases: mirror(s.bases), kinds: s.kinds}
		want, got := totals(ask(t, s.fixture().engine(t))), totals(ask(t, m.fixture().engine(t)))
		assert.Len(t, got, len(want))
		for id := range want {
			assert.InDelta(t, want[id], got[id], 1e-3, id)
		}
	})
}

// The order of features and assets in the files changes nothing.
func TestOrderOfTheFilesChangesNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := draw(rt)
		f := s.fixture()
		want := ask(t, f.engine(t))
		seed := rapid.Uint64().Draw(rt, "seed")
		random := rand.New(rand.NewPCG(seed, 1))
		random.Shuffle(len(f.features), func(i, j int) { f.features[i], f.features[j] = f.features[j], f.features[i] })
		random.Shuffle(len(f.assets), func(i, j int) { f.assets[i], f.assets[j] = f.assets[j], f.assets[i] })
		assert.Equal(t, fmt.Sprintf("%+v", show(want)), fmt.Sprintf("%+v", show(ask(t, f.engine(t)))))
	})
}

// show is the answer without pointers, which differ from run to run.
func show(a routing.Answer) (out []string) {
	for _, o := range a.Options {
		out = append(out, fmt.Sprint(o.Rank, o.ID, o.Total, o.Sentence, o.Plan))
	}
	for _, n := range a.NotPossible {
		out = append(out, fmt.Sprint(n))
	}
	return out
}

// Ranked by total, then fewer changes of vehicle, then id; Limit cuts the end.
func TestRanking(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := draw(rt).fixture()
		all := ask(t, f.engine(t))
		for i := 1; i < len(all.Options); i++ {
			a, b := all.Options[i-1], all.Options[i]
			assert.LessOrEqual(t, a.Total.TypicalS, b.Total.TypicalS)
			if a.Total == b.Total && a.Transfers == b.Transfers {
				assert.Less(t, a.ID, b.ID)
			}
			assert.Equal(t, i+1, b.Rank)
		}
		limited := ask(t, f.engine(t), func(q *routing.Question) { q.Limit = 2 })
		assert.Equal(t, len(all.Options), limited.Found)
		assert.Len(t, limited.Options, min(2, len(all.Options)))
	})
}

// Two ways that take equally long: the one with fewer changes of vehicle, and
// among equals the lower id.
func TestTies(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).
		facility("far-pad", "hospital", place(0, 60_000), centre+","+residentSurgeon+`,"pad":{"lit":true,"vehicle_needed":true,"to_door":{"typical_s":150,"slow_s":150}}`).
		facility("b", "base", place(180, 30_000), "").
		asset("y", "helicopter", `"base":"b"`).asset("x", "helicopter", `"base":"b"`).engine(t)
	var ids []string
	for _, o := range ask(t, e).Options {
		ids = append(ids, o.ID)
	}
	assert.Equal(t, []string{"air:x:h", "air:y:h", "air:x:far-pad", "air:y:far-pad"}, ids)
}
