package weather

import (
	"slices"
	"time"
)

// At returns what the forecast says for the instant t: the prevailing conditions,
// and the conditions that may hold for a while (TEMPO, PROB30, PROB40) in full,
// which is with what they omit carried over from the prevailing ones.
//
//   - FM replaces everything that came before it.
//   - BECMG holds in full from the end of its period. During its period the change
//     may or may not have come, and the worse of before and after is returned, each
//     element by itself: a safety rule of this package, not of the code.
//   - A change that could not be read is returned among the temporary conditions,
//     with everything unknown, at every instant of the forecast.
//
// ok is false outside the validity and for a missing or cancelled forecast.
func (f Forecast) At(t time.Time) (prevailing Conditions, temporary []Conditions, ok bool) {
	if f.Missing || f.Cancelled || t.Before(f.From) || !t.Before(f.To) {
		return Conditions{}, nil, false
	}
	changes := slices.Clone(f.Changes)
	slices.SortStableFunc(changes, func(a, b Change) int { return a.From.Compare(b.From) })
	prevailing = f.Base
	for _, c := range changes {
		if c.From.After(t) {
			continue
		}
		switch c.Kind {
		case FromTime:
			prevailing = c.Conditions
		case Becoming:
			after := c.Conditions.Over(prevailing)
			if t.Before(c.To) {
				after = Worst(prevailing, after)
			}
			prevailing = after
		}
	}
	for _, c := range changes {
		switch c.Kind {
		case Unreadable:
			temporary = append(temporary, c.Conditions)
		case Temporary, Probable:
			if !c.From.After(t) && t.Before(c.To) {
				temporary = append(temporary, c.Conditions.Over(prevailing))
			}
		}
	}
	return prevailing, temporary, true
}
