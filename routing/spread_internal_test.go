package routing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
)

// normal is a normal distribution by its mean and its 90th percentile, to be
// drawn in place of the lognormal.
func normal(t facilities.Timing) func(z float64) float64 {
	return func(z float64) float64 { return t.TypicalS + z*(t.SlowS-t.TypicalS)/z90 }
}

func normals(n int) *sampler {
	s := newSampler()
	s.n, s.scores, s.quantile = n, scores(n), normal
	return s
}

func lognormals(n int) *sampler {
	s := newSampler()
	s.n, s.scores = n, scores(n)
	return s
}

// vary adds a node with a cause of its own.
func vary(w *network, name string, t facilities.Timing, after ...ref) ref {
	return w.add(node{id: name, cause: cause{what: name}, timing: t}, after...)
}

// bell is a normal distribution by mean and standard deviation.
func bell(mean, sd float64) facilities.Timing {
	return facilities.Timing{TypicalS: mean, SlowS: mean + z90*sd}
}

// skewed is a lognormal by the mean and standard deviation of its logarithm.
func skewed(mu, sigma float64) facilities.Timing {
	return facilities.Timing{TypicalS: math.Exp(mu), SlowS: math.Exp(mu + z90*sigma)}
}

func drawn(s *sampler, w *network) []float64 {
	out := make([]float64, s.n)
	s.totals(s.steps(w), out)
	return out
}

func moments(x []float64) (mean, sd float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sd += (v - mean) * (v - mean) / float64(len(x))
	}
	return mean, math.Sqrt(sd)
}

const manyDraws = 1 << 15

func TestMaximaOfNormals(t *testing.T) {
	const (
		clark   = "Clark 1961, Operations Research 9(2): the formulas for the mean and the variance of a maximum"
		shiftS  = 100 // keeps what is about 0 above the start
		tolMean = 0.01
		tolSD   = 0.02
	)
	for _, row := range []struct {
		name, source string
		build        func(*network)
		mean, sd     float64
	}{
		{"two standard", clark + "; mean 1/sqrt(pi)", func(w *network) {
			vary(w, "a", bell(shiftS, 1))
			vary(w, "b", bell(shiftS, 1))
		}, shiftS + 0.564189583548, 0.825645271177},
		{"unlike", clark, func(w *network) {
			vary(w, "a", bell(20, 3))
			vary(w, "b", bell(22, 4))
		}, 23.1521941847, 3.15531494188},
		{"unlike, correlation 0.5: a covariance of 6 in common", clark, func(w *network) {
			common := vary(w, "common", bell(10, math.Sqrt(6)))
			vary(w, "a", bell(10, math.Sqrt(9-6)), common)
			vary(w, "b", bell(12, math.Sqrt(16-6)), common)
		}, 22.6541959268, 3.49811188198},
		{"twice the same distribution", clark, func(w *network) {
			vary(w, "a", bell(10, 2))
			vary(w, "b", bell(10, 2))
		}, 11.1283791671, 1.65129054235},
		{"one far ahead", clark, func(w *network) {
			vary(w, "a", bell(30, 5))
			vary(w, "b", bell(20, 2))
		}, 30.0665228188, 4.86472093393},
		{"three standard", "exact: mean 3/(2 sqrt(pi)); not Clark's 0.8476, which takes the maximum of two as normal", func(w *network) {
			vary(w, "a", bell(shiftS, 1))
			vary(w, "b", bell(shiftS, 1))
			vary(w, "c", bell(shiftS, 1))
		}, shiftS + 0.846284375322, 0.747975403203},
		{"the same cause twice", "identity: a maximum of one", func(w *network) {
			vary(w, "a", bell(20, 3))
			vary(w, "a", bell(20, 3))
		}, 20, 3},
	} {
		var w network
		row.build(&w)
		mean, sd := moments(drawn(normals(manyDraws), &w))
		assert.InDelta(t, row.mean, mean, tolMean*row.sd, "%s: %s", row.name, row.source)
		assert.InDelta(t, row.sd, sd, tolSD*row.sd, "%s: %s", row.name, row.source)
	}
}

func TestSumsOfLognormals(t *testing.T) {
	const (
		fenton  = "Fenton 1960, IRE Trans. Commun. Systems 8: equal mean and variance"
		lo      = "lognorm package, vignette lognormalSum: mu 5.3576474, sigma 0.1499077 by Lo 2013"
		tolMean = 0.001 // of the mean
		tolSD   = 0.02  // of the standard deviation
		tolP    = 0.005 // of the percentile: the sum is nearly a lognormal
	)
	for _, row := range []struct {
		name, source      string
		parts             [][2]float64
		mean, sd          float64
		median, p90       float64
		medianAlso, p9Als float64
	}{
		{"10 and 20", fenton, [][2]float64{{math.Log(10), 0.3}, {math.Log(20), 0.2}},
			30.8643053996, math.Sqrt(27.2948253347), 30.4314115946, 37.7458357838, 0, 0},
		{"110 and 100", fenton, [][2]float64{{math.Log(110), 0.25}, {math.Log(100), 0.15}},
			214.623126747, math.Sqrt(1063.44158665), math.Exp(5.35750647070), math.Exp(5.35750647070 + z90*0.151076698728),
			math.Exp(5.3576474), math.Exp(5.3576474 + z90*0.1499077)},
	} {
		var w network
		last := none
		for i, p := range row.parts {
			last = vary(&w, fmt.Sprint("part ", i), skewed(p[0], p[1]), last)
		}
		s := lognormals(manyDraws)
		x := drawn(s, &w)
		mean, sd := moments(x)
		assert.InEpsilon(t, row.mean, mean, tolMean, "%s: %s", row.name, row.source)
		assert.InEpsilon(t, row.sd, sd, tolSD, "%s: %s", row.name, row.source)
		got := s.spread(x, 0, 0)
		assert.InEpsilon(t, row.median, got.P50S, tolP, "%s: %s", row.name, row.source)
		assert.InEpsilon(t, row.p90, got.P90S, tolP, "%s: %s", row.name, row.source)
		if row.medianAlso > 0 {
			assert.InEpsilon(t, row.medianAlso, got.P50S, tolP, "%s: %s", row.name, lo)
			assert.InEpsilon(t, row.p9Als, got.P90S, tolP, "%s: %s", row.name, lo)
		}
	}
}

// Source: the two-quantile form itself. One cause alone is met exactly, and
// in a chain of one cause every part is slow at once.
func TestOneCauseIsExact(t *testing.T) {
	median := 10.0
	sigma := math.Sqrt(math.Log(1 + 0.3*0.3))
	var w network
	vary(&w, "a", facilities.Timing{TypicalS: median, SlowS: median * math.Exp(z90*sigma)})
	s := newSampler()
	x := drawn(s, &w)
	got := s.spread(x, median, 0)
	assert.InEpsilon(t, 14.5675704561, got.P90S, 1e-6, "median 10, coefficient of variation 0.3: arithmetic")
	assert.InEpsilon(t, 10.0, got.P50S, 1e-6)
	assert.InEpsilon(t, 100/14.5675704561, got.P10S, 1e-6)
	mean, _ := moments(x)
	assert.InEpsilon(t, 10.4403065089, mean, 1e-4)

	w.reset()
	first := vary(&w, "a", facilities.Timing{TypicalS: 100, SlowS: 150})
	vary(&w, "a", facilities.Timing{TypicalS: 300, SlowS: 420}, first)
	assert.InEpsilon(t, 570, s.spread(drawn(s, &w), 400, 0).P90S, 1e-6, "identity")

	w.reset()
	vary(&w, "a", facilities.Timing{TypicalS: 0, SlowS: 60})
	zero := s.spread(drawn(s, &w), 0, 0)
	assert.InDelta(t, 60, zero.P90S, 1e-3, "a median of nothing: slow is met")
	assert.InDelta(t, 0, zero.P50S, 0.05)
	assert.Zero(t, zero.P10S)

	w.reset()
	vary(&w, "a", facilities.Fixed(7))
	target := s.spread(drawn(s, &w), 7, 7)
	assert.Equal(t, Spread{P10S: 7, P50S: 7, P90S: 7, Within: target.Within}, target, "no spread, no rounding")
	assert.InDelta(t, 1, *target.Within, 0, "at the target is within it")
}

// Hostile durations stay finite.
func TestNoDrawIsLongerThanTheLongestTiming(t *testing.T) {
	for _, timing := range []facilities.Timing{{TypicalS: 1e-300, SlowS: facilities.MaxTiming}, {TypicalS: 0, SlowS: facilities.MaxTiming},
		{TypicalS: facilities.MaxTiming, SlowS: facilities.MaxTiming}, {TypicalS: 5e-324, SlowS: 1e-323}} {
		duration := lognormal(timing)
		for _, z := range scores(draws) {
			d := duration(z)
			require.True(t, d >= 0 && d <= facilities.MaxTiming, "%v at %g gives %g", timing, z, d)
		}
		assert.InEpsilon(t, timing.SlowS, duration(z90), 1e-9)
	}
}

func TestChanceOfTheQuicker(t *testing.T) {
	s := normals(manyDraws)
	r := newRace(s.n)
	for _, p := range []struct {
		name     string
		mean, sd float64
	}{{"a", 20, 3}, {"b", 22, 4}} {
		var w network
		vary(&w, p.name, bell(p.mean, p.sd))
		r.enter(drawn(s, &w))
	}
	chances := r.chances()
	assert.InDelta(t, 0.655421741610, chances[0], 0.005, "identity: Phi(2/5)")
	assert.InDelta(t, 1, chances[0]+chances[1], 1e-12)

	// The same quickest twice: the better rank has it.
	r = newRace(s.n)
	for range 2 {
		var w network
		vary(&w, "a", bell(20, 3))
		r.enter(drawn(s, &w))
	}
	assert.Equal(t, []float64{1, 0}, r.chances())
	assert.Empty(t, newRace(8).chances())
}

// A million plain draws, written the obvious way, beside what an answer rests
// on. Source: the law of large numbers; seeded.
func TestP90AgainstPlainDraws(t *testing.T) {
	const plain, tolShare = 1_000_000, 0.01
	for _, seed := range []uint64{22} { // the worst of the first 24

		random := rand.New(rand.NewPCG(seed, 90))
		w := likeAnOption(random)
		s := newSampler()
		got := s.spread(drawn(s, w), w.finish(typical), 0)
		x := plainDraws(w, plain, random)
		slices.Sort(x)
		assert.InEpsilon(t, percentile(x, 0.9), got.P90S, tolShare, "seed %d", seed)
		assert.InEpsilon(t, percentile(x, 0.5), got.P50S, tolShare, "seed %d", seed)
		assert.InEpsilon(t, percentile(x, 0.1), got.P10S, tolShare, "seed %d", seed)
		t.Logf("seed %d: P90 %.1f s, off by %+.2f %%", seed, got.P90S, 100*(got.P90S/percentile(x, 0.9)-1))
	}
}

// likeAnOption has the form of an option: vehicle, patient and hospital.
func likeAnOption(random *rand.Rand) *network {
	w := &network{}
	timing := func(fromS, toS float64) facilities.Timing {
		median := fromS + random.Float64()*(toS-fromS)
		return facilities.Timing{TypicalS: median, SlowS: median * (1.1 + random.Float64())}
	}
	there := w.add(node{cause: roads, timing: timing(200, 1500)}, vary(w, "mobilise", timing(90, 600)))
	carried := vary(w, "carry", timing(60, 400), vary(w, "package", timing(300, 900)))
	on := vary(w, "load", timing(60, 300), there, carried)
	moved := w.add(node{cause: roads, timing: timing(600, 3000)}, on)
	over := vary(w, "handover", timing(100, 300), vary(w, "unload", timing(50, 200), moved))
	alerted := vary(w, "pre_alert", timing(60, 200))
	vary(w, "with_surgeon", facilities.Fixed(0), over, vary(w, "call_in", timing(1200, 3600), alerted), vary(w, "theatre", timing(600, 1800), alerted))
	return w
}

// plainDraws draws the option with a fresh score for each cause.
func plainDraws(w *network, n int, random *rand.Rand) []float64 {
	number, count := make([]int, w.n), 0
	sigma := make([]float64, w.n)
	for i := range w.n {
		number[i] = slices.IndexFunc(w.nodes[:i], func(nd node) bool { return nd.cause == w.nodes[i].cause })
		if number[i] >= 0 {
			number[i] = number[number[i]]
		} else {
			number[i], count = count, count+1
		}
		if t := w.nodes[i].timing; t.TypicalS > 0 {
			sigma[i] = math.Log(t.SlowS/t.TypicalS) / 1.2815515655446004
		}
	}
	out, z, ends := make([]float64, n), make([]float64, count), make([]float64, w.n)
	for k := range out {
		for c := range z {
			z[c] = random.NormFloat64()
		}
		for i := range w.n {
			nd := &w.nodes[i]
			ends[i] = 0
			for _, a := range nd.after[:nd.nAfter] {
				ends[i] = max(ends[i], ends[a])
			}
			ends[i] += nd.timing.TypicalS * math.Exp(sigma[i]*z[number[i]])
		}
		out[k] = slices.Max(ends)
	}
	return out
}

// Every cause visits every stratum once; no two visit them in step.
func TestStrata(t *testing.T) {
	names := []string{"roads", "air", "mobilise:a", "mobilise:b", "load:a", "call_in:h"}
	z := scores(draws)
	for i, name := range names {
		order := strata(name, draws)
		seen := make([]bool, draws)
		for _, k := range order {
			assert.False(t, seen[k], "%s visits stratum %d twice", name, k)
			seen[k] = true
		}
		assert.Equal(t, order, usualStrata(name))
		for _, other := range names[:i] {
			r := 0.0
			for k, j := range strata(other, draws) {
				r += z[order[k]] * z[j] / draws
			}
			// Independent orders: a standard deviation of 1/sqrt(4096).
			assert.Less(t, math.Abs(r), 4.5/math.Sqrt(draws), "%s and %s go in step", name, other)
		}
	}
	var all sync.WaitGroup
	for g := range 4 { // at the same time, and more than is kept
		all.Go(func() {
			for i := range maxKnownStrata/4 + 1 {
				usualStrata(fmt.Sprint("load:", g, "-", i))
			}
		})
	}
	all.Wait()
	assert.LessOrEqual(t, len(knownStrata.of), maxKnownStrata)
	assert.Equal(t, strata("roads", draws), usualStrata("roads"), "forgotten and drawn again")
}

// The same network gives the same bits whatever was drawn before it.
func TestDrawsDoNotDependOnWhatElseIsDrawn(t *testing.T) {
	s, seen := newSampler(), 0 // more is drawn than it keeps
	rapid.Check(t, func(t *rapid.T) {
		w := randomNetwork(t)
		for i := range w.n {
			w.nodes[i].cause = cause{what: rapid.SampledFrom([]string{"x", "y", "z"}).Draw(t, "cause"), of: fmt.Sprint(i % 7)}
		}
		alone := drawn(newSampler(), w)
		var other network
		for range 7 {
			other.reset()
			vary(&other, "x", facilities.Timing{TypicalS: float64(seen), SlowS: float64(2*seen + 1)})
			drawn(s, &other)
			seen++
		}
		assert.Equal(t, alone, drawn(s, w))
		assert.Equal(t, alone, drawn(s, w), "and again, from what is kept")
	})
}

// The total in each draw is the longest chain of that draw's durations.
func TestTotalsAreTheNetworksFinish(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := randomNetwork(t)
		for i := range w.n {
			w.nodes[i].cause = cause{what: "c", of: fmt.Sprint(i % 5)}
			if rapid.Bool().Draw(t, "fixed") {
				w.nodes[i].timing = facilities.Fixed(w.nodes[i].timing.TypicalS)
			}
		}
		s := newSampler()
		got := drawn(s, w)
		for _, k := range []int{0, 1, draws / 2, draws - 1} {
			one := *w
			for i := range one.n {
				z := s.scores[strata(one.nodes[i].why().String(), draws)[k]]
				one.nodes[i].timing.TypicalS = lognormal(w.nodes[i].timing)(z)
			}
			assert.InDelta(t, one.finish(typical), got[k], 1e-6)
		}
		assert.GreaterOrEqual(t, s.spread(got, w.finish(typical), 0).P90S, w.finish(typical))
		// The claim behind the ranking, of the draws themselves.
		assert.GreaterOrEqual(t, percentile(s.sorted, 0.9)*1.001, w.finish(typical))
	})
}
