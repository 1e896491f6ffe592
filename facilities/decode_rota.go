package facilities

import (
	"strconv"
	"strings"
	"time"
)

// timing reads {"typical_s": n, "slow_s": n}; nil when absent.
func (r *featureReader) timing(n node, name string) *Timing {
	t, ok := n.member(name)
	if !ok {
		return nil
	}
	typical, slow := t.number("typical_s"), t.number("slow_s")
	if typical == nil || slow == nil {
		return nil
	}
	if *slow < *typical {
		r.fault(t.pointer+"/slow_s", `"slow_s" is the slower of the two: it must be at least "typical_s" (%s), got %s`, showNumber(*typical), showNumber(*slow))
	}
	return &Timing{TypicalS: *typical, SlowS: *slow}
}

// readRota reads a rota whose values read reads; nil when absent.
func readRota[T any](r *featureReader, n node, name string, read func(node) T) *Rota[T] {
	at, ok := n.member(name)
	if !ok {
		return nil
	}
	rota := &Rota[T]{}
	if otherwise, ok := at.member("otherwise"); ok {
		rota.Otherwise = read(otherwise)
	}
	for _, w := range at.items("weekly") {
		from, to := span(w)
		rota.Weekly = append(rota.Weekly, Window[T]{Days: days(w), FromMin: from, ToMin: to, Value: read(w)})
	}
	for _, e := range at.items("exceptions") {
		from, to := span(e)
		// a date that cannot be read is the schema's fault to report
		date, _ := time.Parse(time.DateOnly, e.text("date"))
		rota.Exceptions = append(rota.Exceptions, Exception[T]{
			Year: date.Year(), Month: int(date.Month()), Day: date.Day(),
			FromMin: from, ToMin: to, Value: read(e),
		})
	}
	weekly, exceptions := rota.spans()
	r.overlaps(at, weekly, exceptions)
	return rota
}

// overlaps warns of windows that overlap: the first in the file wins, which may not
// be what was meant. One warning for each window is enough.
func (r *featureReader) overlaps(at node, weekly, exceptions []daySpan) {
	for i, span := range weekly {
		for j, earlier := range weekly[:i] {
			if span.meetsWeekly(earlier) {
				r.warn(at.pointer+"/weekly/"+strconv.Itoa(i), "the hours overlap those of entry %d, which wins: make them apart if that is not meant", j)
				break
			}
		}
	}
	for i, span := range exceptions {
		for j, earlier := range exceptions[:i] {
			if span.meets(earlier, 0) {
				r.warn(at.pointer+"/exceptions/"+strconv.Itoa(i), "the hours overlap those of entry %d, which wins: make them apart if that is not meant", j)
				break
			}
		}
	}
}

var weekdays = map[string]time.Weekday{
	"sun": time.Sunday, "mon": time.Monday, "tue": time.Tuesday, "wed": time.Wednesday,
	"thu": time.Thursday, "fri": time.Friday, "sat": time.Saturday,
}

func days(n node) (set [7]bool) {
	for _, item := range n.items("days") {
		if word, ok := item.value.(string); ok {
			if day, known := weekdays[word]; known {
				set[day] = true
			}
		}
	}
	return set
}

// span reads "from" and "to" as minutes from local midnight; the whole day without them.
func span(n node) (from, to int) {
	to = minutesPerDay
	if text := n.text("from"); text != "" {
		from = clock(text)
	}
	if text := n.text("to"); text != "" {
		to = clock(text)
	}
	return from, to
}

// clock reads "07:30"; what the schema has refused reads as 0.
func clock(text string) int {
	h, m, _ := strings.Cut(text, ":")
	hours, errH := strconv.Atoi(h)
	minutes, errM := strconv.Atoi(m)
	if errH != nil || errM != nil || hours < 0 || hours > 24 || minutes < 0 || minutes > 59 {
		return 0
	}
	return min(hours*60+minutes, minutesPerDay)
}
