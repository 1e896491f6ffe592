package routing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/routing"
	"surgeonward/routing/road"
)

func bestS(ans routing.Answer) float64 {
	if len(ans.Options) == 0 {
		return math.Inf(1)
	}
	return ans.Options[0].Total.TypicalS
}

// Closing a hospital or a pad, or committing an asset, never improves the best
// time. Source: identity.
func TestClosingNeverImproves(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		random := rand.New(rand.NewPCG(seed, 3))
		f := crowd(random, 2+random.IntN(5), 2+random.IntN(5), random.IntN(5), 100_000)
		before := bestS(ask(t, f.engine(t)))
		i := random.IntN(len(f.features))
		was := f.features[i]
		switch random.IntN(2) {
		case 0:
			f.features[i] = strings.Replace(was, litPad, `"pad":{"lit":true,"hours":{"otherwise":{"state":"closed"}}}`, 1)
		default:
			if strings.Contains(was, `"kind":"hospital"`) {
				f.features[i] = strings.Replace(was, `"kind":"hospital"`, `"accepting":{"state":"closed"},"kind":"hospital"`, 1)
			}
		}
		e := f.engine(t)
		assert.GreaterOrEqual(t, bestS(ask(t, e)), before, "seed %d", seed)
		busy := e.Fleet.Assets()[random.IntN(len(e.Fleet.Assets()))].ID
		assert.GreaterOrEqual(t, bestS(ask(t, e, func(q *routing.Question) {
			q.Assets.States = []routing.StateChange{{Asset: busy, State: routing.Committed}}
		})), bestS(ask(t, e)), "seed %d", seed)
	})
}

// moat is a map with water all around the scene, ten kilometres away, and two
// bridges: one nearly on the way north, one far round.
func moat(t testing.TB, closed string) *road.Terrain {
	line := func(points ...orb.Point) string {
		var b strings.Builder
		for i, p := range points {
			if i > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, "[%.7f,%.7f]", p[0], p[1])
		}
		return b.String()
	}
	var ring []orb.Point
	for i := range 36 {
		ring = append(ring, place(float64(i)*10, 10_000))
	}
	bridge := func(id string, bearing float64) string {
		state := ""
		if strings.Contains(closed, id) {
			state = `,"closed":{"reason":"flooding"}`
		}
		return fmt.Sprintf(`{"type":"Feature","id":%q,"geometry":{"type":"LineString","coordinates":[%s]},"properties":{"kind":"crossing","name":"the %s","crossing":"bridge"%s}}`,
			id, line(place(bearing, 9_000), place(bearing, 11_000)), id, state)
	}
	m, faults, _ := road.Decode([]byte(`{"type":"FeatureCollection","features":[
		{"type":"Feature","id":"water","geometry":{"type":"LineString","coordinates":[`+line(append(ring, ring[0])...)+`]},
			"properties":{"kind":"barrier","name":"the moat","water":"none"}},`+
		bridge("near-bridge", 15)+","+bridge("far-bridge", 125)+`]}`), road.DecodeOptions{})
	require.Empty(t, faults)
	terrain, err := road.NewTerrain(m, road.Region{Factor: 1, Law: toyLaw})
	require.NoError(t, err)
	return terrain
}

var toyLaw = road.Law{CruiseMS: 20, AccelerationMS2: 1}

// Water is not driven over: the way goes by a bridge, opening one never
// worsens the best time, and without any it is said that there is no way.
func TestBridges(t *testing.T) {
	e := toy().facility("h", "hospital", place(0, 40_000), centre+","+residentSurgeon).
		asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	overWater := bestS(ask(t, e))
	times := map[string]float64{}
	for _, closed := range []string{"", "near-bridge", "near-bridge far-bridge"} {
		e.Road = moat(t, closed)
		ans := ask(t, e)
		times[closed] = bestS(ans)
		if closed == "near-bridge far-bridge" {
			assert.Equal(t, []routing.ReasonCode{routing.ReasonUnreachable}, codes(ans, "a", "h"))
			assert.Contains(t, ans.NotPossible[0].Reasons[0].Detail, "bridge")
		}
	}
	assert.Greater(t, times[""], overWater)
	assert.Greater(t, times["near-bridge"], times[""])
	assert.True(t, math.IsInf(times["near-bridge far-bridge"], 1))
}

// The search by bounds is exact on a map with water, too.
func TestBruteForceOnAMap(t *testing.T) {
	terrain := moat(t, "")
	for seed := range uint64(15) {
		random := rand.New(rand.NewPCG(seed, 4))
		e := crowd(random, 2+random.IntN(6), 2+random.IntN(4), random.IntN(5), 70_000).engine(t)
		e.Road = terrain
		q := question()
		ans, err := e.Options(t.Context(), q)
		require.NoError(t, err)
		brute, err := e.Naive(q)
		require.NoError(t, err)
		require.Equal(t, ids(brute), ids(ans.Options), "seed %d", seed)
	}
}

// Out of the wind the break-even distance of TestBreakEvenAgainstPublishedBand
// holds; a head wind on the way to the hospital moves it outwards, and it stays
// within the published band up to a moderate wind (7.7 miles, Chen et al. 2018,
// to 45 miles, Diaz et al. 2005, both read).
func TestBreakEvenWithWind(t *testing.T) {
	r := race{groundFixedS: 1.54 * 60, airFixedS: 6.8 * 60, roadFactor: 1.3}
	still := r.breakEven(t)
	r.windFromDeg, r.windKt = 0, 25 // the hospital lies north: out with it, back against it
	windy := r.breakEven(t)
	assert.Greater(t, windy, still)
	assert.Less(t, windy/mileM, 45.0)
}

// Every reason against any pair of a random region, when lifted in the way its
// code says, leaves that pair possible. Source: identity.
func TestLiftingEveryReason(t *testing.T) {
	for seed := range uint64(40) {
		random := rand.New(rand.NewPCG(seed, 5))
		f := crowd(random, 4, 3, 2, 80_000)
		ans := ask(t, f.engine(t))
		for _, n := range ans.NotPossible {
			if n.Shape != routing.ByRoad && n.Shape != routing.ByAir {
				continue
			}
			lifted := *f
			lifted.features = append([]string{}, f.features...)
			lifted.assets = append([]string{}, f.assets...)
			for _, r := range n.Reasons {
				lift(&lifted, n, r.Code)
			}
			again := ask(t, lifted.engine(t))
			assert.Empty(t, codes(again, n.Asset, n.Destination), "seed %d: %s to %s, %v", seed, n.Asset, n.Destination, n.Reasons)
		}
	}
}

// lift undoes one reason in the region's files.
func lift(f *fixture, n routing.NotPossible, code routing.ReasonCode) {
	edit := func(lines []string, id, old, with string) {
		for i := range lines {
			if strings.Contains(lines[i], fmt.Sprintf(`"id":%q`, id)) {
				lines[i] = strings.Replace(lines[i], old, with, 1)
			}
		}
	}
	switch code {
	case routing.ReasonLacksCapability:
		for _, words := range []string{`"capabilities":["blood_bank"]`, `"capabilities":["visiting_surgical_team"]`} {
			edit(f.features, n.Destination, words, centre+","+residentSurgeon)
		}
	case routing.ReasonNoPad:
		edit(f.features, n.Destination, `"kind":"hospital"`, `"pad":{"lit":true},"kind":"hospital"`)
	case routing.ReasonCarriesNoPatient:
		edit(f.assets, n.Asset, `"response_car"`, `"ambulance"`)
	}
}
