package facilities

import (
	"slices"
	"time"
)

// maxSearch bounds NextStart: a rota repeats by the week, and an exception more than
// a year ahead is of no use to a decision taken now.
const maxSearch = 366 * 24 * time.Hour

// NextStart returns the first instant from t up to t plus within at which a value
// holds that match accepts, and false if there is none. At most a year is searched.
// It is right across midnight, exceptions and changes of the clock.
func (r Rota[T]) NextStart(t time.Time, zone *time.Location, match func(T) bool, within time.Duration) (time.Time, bool) {
	zone = orUTC(zone)
	if match(r.At(t, zone)) {
		return t, true
	}
	last := t.Add(min(within, maxSearch))
	// Between two changes of the clock wall time runs evenly, so that what begins at a
	// wall time begins at one instant; a change itself can jump into a window.
	for from := t; !from.After(last); {
		_, change := from.In(zone).ZoneBounds()
		if start, ok := r.nextInStretch(from, change, last, zone, match); ok {
			return start.In(t.Location()), true
		}
		if change.IsZero() || !change.After(from) {
			break
		}
		from = change
		if !from.After(last) && match(r.At(from, zone)) {
			return from.In(t.Location()), true
		}
	}
	return time.Time{}, false
}

// nextInStretch searches the instants after from and before change (zero: no change
// follows), at most up to last.
func (r Rota[T]) nextInStretch(from, change, last time.Time, zone *time.Location, match func(T) bool) (time.Time, bool) {
	_, offset := from.In(zone).Zone()
	firstDay, _ := wall(from, zone)
	lastDay, _ := wall(last, zone)
	for day := firstDay; day <= lastDay+1; day++ {
		for _, minute := range r.boundaries(day) {
			seconds := int64(day)*secondsPerDay + int64(minute)*60 - int64(offset)
			at := time.Unix(seconds, 0)
			switch {
			case at.After(last), !change.IsZero() && !at.Before(change):
				return time.Time{}, false
			case at.After(from) && match(r.atWall(day, minute)):
				return at, true
			}
		}
	}
	return time.Time{}, false
}

// boundaries lists the minutes of a day at which the value can change, in order.
func (r Rota[T]) boundaries(day int) []int {
	minutes := []int{0}
	for _, w := range r.Weekly {
		minutes = append(minutes, w.FromMin%minutesPerDay, w.ToMin%minutesPerDay)
	}
	for _, e := range r.Exceptions {
		if d := day - e.day(); d == 0 || d == 1 {
			minutes = append(minutes, e.FromMin%minutesPerDay, e.ToMin%minutesPerDay)
		}
	}
	slices.Sort(minutes)
	return slices.Compact(minutes)
}
