package sun

import (
	"math"
	"time"

	"github.com/paulmach/orb"
)

const (
	// stride between samples when looking for the highest and lowest points of
	// the Sun's daily path. They are twelve hours apart except within 0.1 degree
	// of a pole, where both vanish in the change of declination.
	stride = 2 * time.Hour
	// resolution of a crossing in time. The Sun moves less than 5 millionths of
	// a degree in it.
	resolution = time.Millisecond
)

// path is the Sun's altitude at one point over a day, cut at its highest and lowest
// points: from one mark to the next it only rises or only falls.
type path struct {
	point orb.Point
	marks []mark
}

type mark struct {
	at          time.Time
	altitudeDeg float64
}

// crossing is the first instant, to the resolution, at which the Sun is on the
// other side of an altitude.
type crossing struct {
	at     time.Time
	rising bool
}

// dayPath cuts the 24 hours that begin at start. It returns a path without marks
// for a point that is not on the Earth.
func dayPath(p orb.Point, start time.Time) path {
	if !onEarth(p) {
		return path{point: p}
	}
	// One sample more on each side: an extreme just inside the day is seen only
	// between two others.
	samples := make([]mark, day/stride+3)
	for i := range samples {
		at := start.Add(time.Duration(i-1) * stride)
		samples[i] = mark{at, Altitude(p, at)}
	}
	first, last := samples[1], samples[len(samples)-2]
	marks := []mark{first}
	for i := 1; i < len(samples)-1; i++ {
		before, here, after := samples[i-1].altitudeDeg, samples[i].altitudeDeg, samples[i+1].altitudeDeg
		top := here >= before && here > after
		bottom := here <= before && here < after
		if !top && !bottom {
			continue
		}
		m := extreme(p, samples[i-1].at, samples[i+1].at, top)
		if m.at.After(first.at) && m.at.Before(last.at) {
			marks = append(marks, m)
		}
	}
	return path{p, append(marks, last)}
}

// extreme finds the highest (top) or else the lowest altitude between from and
// to, by golden-section search to about a second.
func extreme(p orb.Point, from, to time.Time, top bool) mark {
	const golden = 0.6180339887498949
	probe := func(fraction float64) mark {
		at := from.Add(time.Duration(fraction * float64(to.Sub(from))))
		return mark{at, Altitude(p, at)}
	}
	a, b := probe(1-golden), probe(golden)
	for to.Sub(from) > time.Second {
		if (a.altitudeDeg > b.altitudeDeg) == top {
			to, b = b.at, a
			a = probe(1 - golden)
		} else {
			from, a = a.at, b
			b = probe(golden)
		}
	}
	return a
}

// crossings returns every passage of an altitude in order of time.
func (pa path) crossings(altitudeDeg float64) []crossing {
	var found []crossing
	for i := 1; i < len(pa.marks); i++ {
		if c, ok := pa.between(pa.marks[i-1], pa.marks[i], altitudeDeg); ok {
			found = append(found, c)
		}
	}
	return found
}

// between halves the time from a to b until the passage is known to the
// resolution.
func (pa path) between(a, b mark, altitudeDeg float64) (crossing, bool) {
	rising := b.altitudeDeg >= altitudeDeg
	if rising == (a.altitudeDeg >= altitudeDeg) {
		return crossing{}, false
	}
	from, to := a.at, b.at
	for to.Sub(from) > resolution {
		half := from.Add(to.Sub(from) / 2)
		if (Altitude(pa.point, half) >= altitudeDeg) == rising {
			to = half
		} else {
			from = half
		}
	}
	return crossing{to, rising}, true
}

// lowest and highest are the extremes of altitude in the day, in degrees.
func (pa path) lowest() float64 {
	low := math.Inf(1)
	for _, m := range pa.marks {
		low = min(low, m.altitudeDeg)
	}
	return low
}

func (pa path) highest() float64 {
	high := math.Inf(-1)
	for _, m := range pa.marks {
		high = max(high, m.altitudeDeg)
	}
	return high
}
