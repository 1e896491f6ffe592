package routing

import (
	"crypto/sha256"
	"encoding/binary"
	"math"
	"math/bits"
	"math/rand/v2"
	"sync"
)

// cause is what makes a duration vary. Durations with the same cause vary
// together, in one option and between options: one draw of an asset's
// mobilisation or of the region's roads is shared by all that uses it, so that
// comparisons are fair (common random numbers).
type cause struct {
	what string // "roads", "air", "mobilise", "call_in" and so on
	of   string // the id of the asset or hospital it is about; empty: the whole region
}

// The causes that the whole region shares. All flights share one, the wind
// included: that a head wind one way is a tail wind the other way is left out,
// which makes missions that fly out and back vary somewhat too much.
var (
	roads  = cause{what: "roads"}
	theAir = cause{what: "air"}
)

func (c cause) String() string {
	if c.of == "" {
		return c.what
	}
	return c.what + ":" + c.of
}

// why is the node's cause: its own where it has one, else the roads, the air,
// or what is done by which asset.
func (nd *node) why() cause {
	switch {
	case nd.cause != cause{}:
		return nd.cause
	case nd.kind == KindTravel && nd.byAir:
		return theAir
	case nd.kind == KindTravel:
		return roads
	case nd.asset != nil:
		return cause{string(nd.kind), nd.asset.ID}
	}
	return cause{what: string(nd.kind)}
}

// draws is how many draws an answer rests on: a power of two, so that chances
// are exact fractions. The error of a P90 against a million plain draws is
// under 1 % (TestP90AgainstPlainDraws).
const draws = 4096

// drawSeed is the fixed part of every cause's seed. Another text gives other
// draws, and with them other bytes in every answer.
const drawSeed = "surgeonward draws 1: "

// scores are the standard normal scores of n strata of equal chance, each at
// the middle of its stratum, in ascending order.
func scores(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/float64(n)-1)
	}
	return out
}

var usualScores = sync.OnceValue(func() []float64 { return scores(draws) })

// strata is the order in which the draws of a cause visit the n strata, n at
// most 65536, what 16 bits can number: Latin hypercube sampling (McKay, Beckman and Conover 1979,
// Technometrics 21(2), from memory). Every stratum is visited once, so that
// each cause by itself is met exactly; the order is shuffled (Fisher-Yates) by
// a PCG that is seeded by the cause's name alone, so that no draw depends on
// what else is in the region or in which order.
func strata(name string, n int) []uint16 {
	sum := sha256.Sum256([]byte(drawSeed + name))
	source := rand.NewPCG(binary.BigEndian.Uint64(sum[:8]), binary.BigEndian.Uint64(sum[8:16]))
	out := make([]uint16, n)
	for i := range out {
		// The shuffle is written out: a library's may change between releases.
		j, _ := bits.Mul64(source.Uint64(), uint64(i+1))
		out[i] = out[j]
		out[j] = uint16(i)
	}
	return out
}

// maxKnownStrata bounds what is kept: at 8 kB a cause, 8 MB.
const maxKnownStrata = 1024

// knownStrata keeps the usual shuffles, which follow from their names alone:
// what is kept or forgotten changes no answer. Questions may bring assets with
// any id, so it is emptied when it is full.
var knownStrata = struct {
	sync.Mutex
	of map[string][]uint16
}{of: map[string][]uint16{}}

func usualStrata(name string) []uint16 {
	knownStrata.Lock()
	known, ok := knownStrata.of[name]
	knownStrata.Unlock()
	if ok {
		return known
	}
	made := strata(name, draws)
	knownStrata.Lock()
	defer knownStrata.Unlock()
	if len(knownStrata.of) >= maxKnownStrata {
		clear(knownStrata.of)
	}
	knownStrata.of[name] = made
	return made
}
