package calibrate_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"surgeonward/routing/calibrate"
)

func TestWilson(t *testing.T) {
	const newcombe = "Newcombe, Statistics in Medicine 17:857-872, 1998, table I, method 3 (from memory)"
	for _, tc := range []struct {
		count, n  int
		low, high float64
		source    string
	}{
		{81, 263, 0.2553, 0.3662, newcombe},
		{15, 148, 0.0624, 0.1605, newcombe},
		{0, 20, 0.0000, 0.1611, newcombe},
		{1, 29, 0.0061, 0.1718, newcombe},
		{29, 29, 0.8830, 1.0000, "identity: all of n is none of n mirrored, 1 - z²/(n+z²)"},
		{0, 0, 0, 1, "definition: nothing seen, nothing known"},
	} {
		low, high := calibrate.Wilson(tc.count, tc.n, 0.95)
		const tolerance = 0.00006 // a share: the tables have four decimals
		assert.InDelta(t, tc.low, low, tolerance, tc.source)
		assert.InDelta(t, tc.high, high, tolerance, tc.source)
	}
}

// Source: definition, Wilson 1927: at either end p the count is z standard
// errors sqrt(p(1-p)/n) away, unless the end is 0 or 1.
func TestWilsonEnds(t *testing.T) {
	const z = 1.6448536269514722
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 100000).Draw(t, "n")
		count := rapid.IntRange(0, n).Draw(t, "count")
		low, high := calibrate.Wilson(count, n, 0.9)
		seen := float64(count) / float64(n)
		if low < 0 || low > seen+1e-12 || high < seen-1e-12 || high > 1 {
			t.Fatalf("%v to %v does not hold %v", low, high, seen)
		}
		for _, p := range []float64{low, high} {
			if p <= 1e-12 || p >= 1-1e-12 {
				continue
			}
			if away := math.Abs(seen-p) / math.Sqrt(p*(1-p)/float64(n)); math.Abs(away-z) > 1e-6*z {
				t.Fatalf("%v standard errors at %v", away, p)
			}
		}
	})
}

func TestVerdict(t *testing.T) {
	for _, tc := range []struct {
		count, of int
		want      calibrate.Verdict
		source    string
	}{
		{90, 100, calibrate.Reliable, "definition"},
		{70, 100, calibrate.TooQuick, "definition"},
		{100, 100, calibrate.TooSlow, "definition: 0.974 to 1"},
		{17, 19, calibrate.Unknown, "under 20 journeys"},
	} {
		low, high := calibrate.Wilson(tc.count, tc.of, 0.9)
		assert.Equal(t, tc.want, calibrate.Share{Count: tc.count, Of: tc.of, Low: low, High: high}.Verdict(), tc.source)
	}
}
