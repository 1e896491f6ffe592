package weather

import (
	"regexp"
	"strconv"
	"time"
)

// dayTime is a day of the month with a time of day, as messages give them.
type dayTime struct{ day, hour, minute int }

var (
	issueGroup   = regexp.MustCompile(`^(\d{2})(\d{2})(\d{2})Z$`)
	periodGroup  = regexp.MustCompile(`^(\d{2})(\d{2})/(\d{2})(\d{2})$`)
	fromGroup    = regexp.MustCompile(`^FM(\d{2})(\d{2})(\d{2})$`)
	extremeGroup = regexp.MustCompile(`^T([XN])(M?\d{2})/(\d{2})(\d{2})Z$`)
)

// clock reads two-digit fields that a pattern has matched: day, hour and, if there
// is a third, minute. Hour 24 stands for the end of the day where endOfDay allows.
func clock(fields []string, endOfDay bool) (dayTime, bool) {
	var d dayTime
	for i, into := range []*int{&d.day, &d.hour, &d.minute} {
		if i < len(fields) {
			*into, _ = strconv.Atoi(fields[i]) // digits by the pattern
		}
	}
	ok := d.day >= 1 && d.day <= 31 && d.minute < 60 && (d.hour < 24 || endOfDay && d.hour == 24 && d.minute == 0)
	return d, ok
}

// in returns the instant in the month that is months after that of ref, and false
// when that month has no such day.
func (d dayTime) in(ref time.Time, months int) (time.Time, bool) {
	year, month, _ := ref.UTC().Date()
	midnight := time.Date(year, month+time.Month(months), d.day, 0, 0, 0, 0, time.UTC)
	at := midnight.Add(time.Duration(d.hour)*time.Hour + time.Duration(d.minute)*time.Minute)
	return at, midnight.Day() == d.day
}

// nearest returns the instant that fits d and is nearest to ref, the earlier of two
// equally near. There always is one, since of two months in a row one has 31 days.
func (d dayTime) nearest(ref time.Time) time.Time {
	var best time.Time
	found := false
	for months := -2; months <= 2; months++ {
		at, ok := d.in(ref, months)
		if ok && (!found || at.Sub(ref).Abs() < best.Sub(ref).Abs()) {
			best, found = at, true
		}
	}
	return best
}

// after returns the first instant later than from that fits d.
func (d dayTime) after(from time.Time) time.Time {
	var first time.Time
	for months := 2; months >= -1; months-- {
		if at, ok := d.in(from, months); ok && at.After(from) {
			first = at
		}
	}
	return first
}

// span is a period of validity, From included and To not.
type span struct{ from, to time.Time }

// readSpan reads 0918/1024 near a reference time.
func readSpan(group string, ref time.Time) (span, bool) {
	m := periodGroup.FindStringSubmatch(group)
	if m == nil {
		return span{}, false
	}
	first, ok1 := clock(m[1:3], true)
	last, ok2 := clock(m[3:5], true)
	if !ok1 || !ok2 {
		return span{}, false
	}
	from := first.nearest(ref)
	return span{from, last.after(from)}, true
}

// within reports whether s is wholly inside outer.
func (s span) within(outer span) bool {
	return !s.from.Before(outer.from) && !s.to.After(outer.to)
}
