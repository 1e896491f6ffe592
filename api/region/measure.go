package region

import "time"

// Since says when the version that is served was made.
func (l *Live) Since() time.Time { return l.State().Version.At }

// Faults says how many faults newer data has that is not used because of them.
func (l *Live) Faults() int { return len(l.State().Rejected) }
