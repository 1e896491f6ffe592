package facilities

// Rota is a value that depends on the local time of day and the date: what
// holds otherwise, weekly windows, and exceptions for single dates.
// An exception wins over a weekly window, a weekly window over Otherwise; of
// windows that overlap, the first in the list wins.
//
// Windows are in local wall time. On the night on which clocks go forward, the
// part of a window that falls into the hour left out does not exist; when they go
// back, a window in the repeated hour holds twice.
type Rota[T any] struct {
	Otherwise  T
	Weekly     []Window[T]
	Exceptions []Exception[T]
}

// Window is a stretch of local time on given weekdays. Minutes count from
// local midnight of the day named; To <= From means it ends on the next day,
// and 1440 is midnight at the day's end.
type Window[T any] struct {
	Days    [7]bool // indexed by time.Weekday
	FromMin int
	ToMin   int
	Value   T
}

// Exception is a stretch of local time on one date; To <= From means it ends on
// the next day.
type Exception[T any] struct {
	Year, Month, Day int
	FromMin, ToMin   int
	Value            T
}

// Always returns a rota under which v holds at all times.
func Always[T any](v T) Rota[T] { return Rota[T]{Otherwise: v} }
