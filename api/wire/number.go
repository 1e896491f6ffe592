package wire

import (
	"errors"
	"math"
	"time"

	"github.com/paulmach/orb"
)

// ErrNotFinite is returned when an answer holds a number that JSON cannot:
// rather no answer than a wrong one.
var ErrNotFinite = errors.New("the answer holds a number that is not finite")

// most is the largest number of seconds or metres an answer can hold: far
// beyond every model's bound, far below where float64 loses whole numbers.
const most = 1e12

// rounder rounds an answer's numbers and remembers whether one of them could
// not be.
type rounder struct{ err error }

// whole rounds to the nearest whole number, halves away from zero.
func (r *rounder) whole(x float64) int64 {
	if !(math.Abs(x) <= most) {
		r.err = ErrNotFinite
		return 0
	}
	return int64(math.Round(x))
}

// slackResidueS is floating-point residue that must not cost a whole second.
const slackResidueS = 1e-3

// down rounds down: slack must never be promised that is not there.
func (r *rounder) down(x float64) int64 {
	if !(math.Abs(x) <= most) {
		r.err = ErrNotFinite
		return 0
	}
	return int64(math.Floor(x + slackResidueS))
}

// position rounds to seven decimals of a degree, about a centimetre.
func (r *rounder) position(p orb.Point) [2]float64 {
	return [2]float64{r.degrees(p.Lon()), r.degrees(p.Lat())}
}

// corner rounds to six decimals of a degree, about a decimetre: no estimated
// road is as exact as that.
func (r *rounder) corner(p orb.Point) [2]float64 {
	return [2]float64{r.decimals(p.Lon(), 1e6), r.decimals(p.Lat(), 1e6)}
}

func (r *rounder) degrees(x float64) float64 { return r.decimals(x, 1e7) }

// share rounds a chance to four decimals.
func (r *rounder) share(x float64) float64 { return r.decimals(x, 1e4) }

func (r *rounder) decimals(x, power float64) float64 {
	if !(math.Abs(x) <= 360) {
		r.err = ErrNotFinite
		return 0
	}
	return math.Round(x*power)/power + 0 // adding 0 makes -0 a plain 0
}

// after is the instant a number of seconds after at, rounded like the
// activities, so that a clock time is always at plus a whole end_s.
func (r *rounder) after(at, instant time.Time) time.Time {
	return at.Add(time.Duration(r.whole(instant.Sub(at).Seconds())) * time.Second)
}

func utc(t time.Time) string { return t.UTC().Format(time.RFC3339) }

func local(t time.Time, zone *time.Location) string {
	if zone == nil {
		zone = time.UTC
	}
	return t.In(zone).Format("2006-01-02T15:04:05-07:00")
}
