package facilities

// daySpan is a window as a stretch of minutes: on which weekdays, or on which day.
type daySpan struct {
	days     [7]bool
	day      int
	from, to int // to > from; beyond 1440 it reaches into the next day
}

func newSpan(from, to int) daySpan {
	if to <= from {
		to += minutesPerDay
	}
	return daySpan{from: from, to: to}
}

// spans returns the stretches of the weekly windows and of the exceptions.
func (r Rota[T]) spans() (weekly, exceptions []daySpan) {
	for _, w := range r.Weekly {
		s := newSpan(w.FromMin, w.ToMin)
		s.days = w.Days
		weekly = append(weekly, s)
	}
	for _, e := range r.Exceptions {
		s := newSpan(e.FromMin, e.ToMin)
		s.day = e.day()
		exceptions = append(exceptions, s)
	}
	return weekly, exceptions
}

// meets reports whether the stretches overlap, u starting extra days later than its day.
func (s daySpan) meets(u daySpan, extra int) bool {
	shift := (u.day + extra - s.day) * minutesPerDay
	return s.from < u.to+shift && u.from+shift < s.to
}

// meetsWeekly reports whether the stretches overlap on any days of the week.
func (s daySpan) meetsWeekly(u daySpan) bool {
	for day := range 7 {
		for apart := -1; apart <= 1; apart++ {
			if s.days[day] && u.days[mod(day+apart, 7)] && s.meets(u, apart) {
				return true
			}
		}
	}
	return false
}
