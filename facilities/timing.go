package facilities

import "math"

// MaxTiming is the longest duration any file or request may state, in seconds:
// two days. Nothing this product times is longer, and the bound keeps a
// mistyped year from overflowing or from ranking first.
const MaxTiming = 48 * 3600.0

// Timing is a duration given the way practitioners give it, by two numbers in
// seconds: typical (the median) and slow (9 in 10 are quicker).
// A usable Timing has 0 <= TypicalS <= SlowS <= MaxTiming; see Valid.
type Timing struct {
	TypicalS float64 `json:"typical_s"`
	SlowS    float64 `json:"slow_s"`
}

// Fixed returns a Timing without spread: s seconds, always.
func Fixed(s float64) Timing { return Timing{TypicalS: s, SlowS: s} }

// Valid reports whether both numbers are finite and 0 <= typical <= slow <= MaxTiming.
func (t Timing) Valid() bool {
	return !math.IsNaN(t.TypicalS) && !math.IsNaN(t.SlowS) &&
		t.TypicalS >= 0 && t.TypicalS <= t.SlowS && t.SlowS <= MaxTiming
}

// Add returns t and u one after the other with every part slow at once, which
// is never quicker than the true 9-in-10 figure of their sum.
func (t Timing) Add(u Timing) Timing {
	return Timing{TypicalS: t.TypicalS + u.TypicalS, SlowS: t.SlowS + u.SlowS}
}
