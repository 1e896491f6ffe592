package facilities

import "time"

const minutesPerDay = 1440

// At returns the value that holds at t, in the wall time of zone (nil: UTC).
// Seconds do not count: a window from 07:30 to 18:00 holds at 07:30:00 and ends
// before 18:00:00.
func (r Rota[T]) At(t time.Time, zone *time.Location) T {
	day, minute := wall(t, zone)
	return r.atWall(day, minute)
}

func (r Rota[T]) atWall(day, minute int) T {
	for _, e := range r.Exceptions {
		if covers(day-e.day(), minute, e.FromMin, e.ToMin) {
			return e.Value
		}
	}
	for _, w := range r.Weekly {
		if (w.Days[weekday(day)] && covers(0, minute, w.FromMin, w.ToMin)) ||
			(w.Days[weekday(day-1)] && covers(1, minute, w.FromMin, w.ToMin)) {
			return w.Value
		}
	}
	return r.Otherwise
}

// covers reports whether the window from..to of one day covers the minute of the day
// that is later by the given number of days.
func covers(daysLater, minute, from, to int) bool {
	if to <= from {
		to += minutesPerDay
	}
	at := daysLater*minutesPerDay + minute
	return daysLater >= 0 && daysLater <= 1 && from <= at && at < to
}

// wall returns the local date as a count of days and the minute of that day. The
// count is of dates, whatever their length in hours.
func wall(t time.Time, zone *time.Location) (day, minute int) {
	local := t.In(orUTC(zone))
	y, m, d := local.Date()
	return dayNumber(y, int(m), d), local.Hour()*60 + local.Minute()
}

func orUTC(zone *time.Location) *time.Location {
	if zone == nil {
		return time.UTC
	}
	return zone
}

const secondsPerDay = 86400

// dayNumber counts dates from 1 January 1970.
func dayNumber(year, month, day int) int {
	s := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC).Unix()
	return int((s - mod(s, secondsPerDay)) / secondsPerDay)
}

// weekday of a day number: 1 January 1970 was a Thursday.
func weekday(day int) time.Weekday { return time.Weekday(mod(day+int(time.Thursday), 7)) }

func mod[T int | int64](a, b T) T { return (a%b + b) % b }

func (e Exception[T]) day() int { return dayNumber(e.Year, e.Month, e.Day) }
