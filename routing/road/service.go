package road

import (
	"time"

	"surgeonward/facilities"
)

// Shares of the interval that a vehicle waits for a ferry: arriving at random
// within it, the median wait is half, and 9 in 10 waits are under 90 %.
const (
	typicalWait = 0.5
	slowWait    = 0.9
)

// searchDays is how far ahead a departure is looked for. It covers a weekly
// timetable; waits over facilities.MaxTiming are of no use anyway.
const searchDays = 8

// sailing is one use of a ferry.
type sailing struct {
	waitS   float64   // from ready to sail until it sails
	leaves  time.Time // zero where sailings are at intervals
	arrives time.Time // on the road on the other side
}

// sail returns the sailing for a vehicle that comes to an end of the crossing
// at the instant, with typical or slow durations. Coming later never means
// arriving earlier. It returns false if there is none within a week.
func (s *Service) sail(at time.Time, end int, slow bool, zone *time.Location) (sailing, bool) {
	boardS, sailS, share := s.Boarding.TypicalS, s.Sailing.TypicalS, typicalWait
	if slow {
		boardS, sailS, share = s.Boarding.SlowS, s.Sailing.SlowS, slowWait
	}
	ready := at.Add(seconds(boardS))
	var out sailing
	var leaves time.Time
	if s.IntervalS > 0 {
		opens, ok := s.opens(ready, zone)
		if !ok {
			return sailing{}, false
		}
		leaves = opens.Add(seconds(s.IntervalS * share))
	} else {
		next, ok := s.next(ready, end, zone)
		if !ok {
			return sailing{}, false
		}
		leaves, out.leaves = next, next
	}
	out.waitS = leaves.Sub(ready).Seconds()
	out.arrives = leaves.Add(seconds(sailS))
	return out, true
}

func (s *Service) opens(t time.Time, zone *time.Location) (time.Time, bool) {
	if s.Hours == nil {
		return t, true
	}
	open := func(o facilities.Opening) bool { return o.State == "open" }
	return s.Hours.NextStart(t, zone, open, searchDays*24*time.Hour)
}

// next is the first departure from the end at t or later. A departure in the
// hour that is left out when clocks go forward is moved by that hour.
func (s *Service) next(t time.Time, end int, zone *time.Location) (time.Time, bool) {
	year, month, day := t.In(zone).Date()
	for ahead := range searchDays {
		var best time.Time
		weekday := time.Date(year, month, day+ahead, 12, 0, 0, 0, time.UTC).Weekday()
		for _, d := range s.Departures {
			if !d.Days[weekday] || !d.From[end] {
				continue
			}
			for _, minute := range d.Minutes {
				at := time.Date(year, month, day+ahead, 0, minute, 0, 0, zone)
				if !at.Before(t) && (best.IsZero() || at.Before(best)) {
					best = at
				}
			}
		}
		if !best.IsZero() {
			return best, true
		}
	}
	return time.Time{}, false
}

// seconds converts to a Duration. All durations here are within a few times
// facilities.MaxTiming, so it cannot overflow.
func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
