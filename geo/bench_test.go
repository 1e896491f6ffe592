package geo_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// One scene against 1024 places, three ways; Distance is the naive baseline. The
// checksum is the index of the nearest place, found once by the oracle.
func benchPlaces() (scene orb.Point, places []orb.Point, nearest int) {
	scene = at(45.52, -29.41)
	best := math.Inf(1)
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 1024 {
		places = append(places, at(45+r.Float64(), -30+r.Float64()))
		if d := slowDistance(scene, places[i]); d < best {
			nearest, best = i, d
		}
	}
	return scene, places, nearest
}

func BenchmarkDistance(b *testing.B) {
	scene, places, want := benchPlaces()
	b.ReportAllocs()
	for b.Loop() {
		nearest, best := -1, 1e9
		for i, p := range places {
			if d := geo.Distance(scene, p); d < best {
				nearest, best = i, d
			}
		}
		checksum(b, want, nearest)
	}
}

func BenchmarkVectorDistance(b *testing.B) {
	scene, vectors, want := benchVectors()
	b.ReportAllocs()
	for b.Loop() {
		nearest, best := -1, 1e9
		for i, v := range vectors {
			if d := scene.Distance(v); d < best {
				nearest, best = i, d
			}
		}
		checksum(b, want, nearest)
	}
}

func BenchmarkVectorDot(b *testing.B) {
	scene, vectors, want := benchVectors()
	b.ReportAllocs()
	for b.Loop() {
		nearest, best := -1, -2.0
		for i, v := range vectors {
			if d := scene.Dot(v); d > best {
				nearest, best = i, d
			}
		}
		checksum(b, want, nearest)
	}
}

func benchVectors() (scene geo.Vector, vectors []geo.Vector, nearest int) {
	from, places, nearest := benchPlaces()
	for _, p := range places {
		vectors = append(vectors, geo.Unit(p))
	}
	return geo.Unit(from), vectors, nearest
}

func checksum(b *testing.B, want, got int) {
	if got != want {
		b.Fatalf("nearest place is %d, want %d", got, want)
	}
}
