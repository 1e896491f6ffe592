package road

import (
	"fmt"
	"time"
)

// season is what can be used by a travel that begins at some time.
type season struct {
	use    []float64 // what each crossing costs; never for ferries, which are stops, and closed ones
	ferry  []bool    // ferries that are not closed
	closed []string  // why each that is closed is; "" for the others
	key    string    // the same for seasons with the same use
}

// season returns what is open at the time a travel begins.
func (t *Terrain) season(depart time.Time) (*season, error) {
	n := len(t.m.Crossings)
	s := &season{use: make([]float64, n), ferry: make([]bool, n), closed: make([]string, n)}
	key := make([]byte, (n+7)/8)
	for i := range t.m.Crossings {
		c := &t.m.Crossings[i]
		if c.timed() && depart.IsZero() {
			return nil, fmt.Errorf("the departure time is missing: %s depends on it", c.Name)
		}
		s.use[i] = never
		s.closed[i] = c.closedAt(depart, t.m.zone)
		switch {
		case s.closed[i] != "":
		case c.Kind == Ferry:
			s.ferry[i] = true
		default:
			s.use[i] = t.crossing[i]
			key[i/8] |= 1 << (i % 8)
		}
	}
	s.key = string(key)
	return s, nil
}
