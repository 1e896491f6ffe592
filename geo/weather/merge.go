package weather

import "slices"

// union returns a and what b adds to it, in order; it changes neither.
func union(a, b []string) []string {
	both := slices.Clone(a)
	for _, s := range b {
		if !slices.Contains(both, s) {
			both = append(both, s)
		}
	}
	return both
}
