package routing

import (
	_ "embed" // the shipped windows
	"fmt"
	"math"
	"slices"
	"sync"

	"surgeonward/facilities"
)

// DefaultWindow is the id of the window that is used where none is asked for.
const DefaultWindow = "common_practice"

// ownWindow is the id of a window that the question states in seconds.
const ownWindow = "stated"

// AtLimit says whether exactly the limit is still inside a window: guidelines
// differ between "more than" and "less than".
type AtLimit string

// What exactly the limit is.
const (
	LimitInside  AtLimit = "inside"  // outside from more than the limit on
	LimitOutside AtLimit = "outside" // inside only below the limit
)

// marginStepsPerS is how finely margins are told: to the millisecond, which
// absorbs floating-point residue, so that exactly the limit is exactly the limit.
const marginStepsPerS = 1000

// Window is the time from loss of output in which opening the chest can still
// help. The shipped ones are figures of guidelines and studies, and no clinical
// advice: the treating clinician decides.
type Window struct {
	ID      string
	What    string // one plain phrase
	LimitS  float64
	AtLimit AtLimit
	Source  string // as in Allowance
	Date    string
	Mark    string
	Note    string
}

// Margin is how much of the window is left in seconds, to the millisecond, when
// the chest is open the given seconds after loss of output; negative: too late.
func (w Window) Margin(openAfterS float64) float64 {
	return math.Round((w.LimitS-openAfterS)*marginStepsPerS) / marginStepsPerS
}

// Inside reports whether a margin is inside the window. A margin that is not a
// number is not.
func (w Window) Inside(marginS float64) bool {
	return marginS > 0 || marginS == 0 && w.AtLimit == LimitInside
}

//go:embed windows.json
var windowsFile []byte

// shippedWindows are part of the program, as shipped is.
var shippedWindows = sync.OnceValue(func() []Window {
	windows, err := decodeWindows(windowsFile)
	if err != nil {
		panic(err)
	}
	return windows
})

// Windows returns the shipped windows, the default first.
func Windows() []Window { return slices.Clone(shippedWindows()) }

// window finds a shipped window by its id.
func window(id string) (Window, bool) {
	all := shippedWindows()
	i := slices.IndexFunc(all, func(w Window) bool { return w.ID == id })
	if i < 0 {
		return Window{}, false
	}
	return all[i], true
}

func windowIDs() (ids []string) {
	for _, w := range shippedWindows() {
		ids = append(ids, w.ID)
	}
	return ids
}

func decodeWindows(data []byte) ([]Window, error) {
	var file struct {
		Windows []struct {
			origin
			LimitS  *float64 `json:"limit_s"`
			AtLimit AtLimit  `json:"at_limit"`
		} `json:"windows"`
	}
	if err := decodeShipped(data, &file); err != nil {
		return nil, fmt.Errorf("windows: %w", err)
	}
	var out []Window
	for _, w := range file.Windows {
		if err := w.check(); err != nil {
			return nil, err
		}
		if w.LimitS == nil || !(*w.LimitS > 0 && *w.LimitS <= facilities.MaxTiming) {
			return nil, fmt.Errorf("window %q: missing limit_s, or not a duration", w.ID)
		}
		if w.AtLimit != LimitInside && w.AtLimit != LimitOutside {
			return nil, fmt.Errorf("window %q: at_limit must be %q or %q", w.ID, LimitInside, LimitOutside)
		}
		if slices.ContainsFunc(out, func(o Window) bool { return o.ID == w.ID }) {
			return nil, fmt.Errorf("window %q is given twice", w.ID)
		}
		out = append(out, Window{ID: w.ID, What: w.What, LimitS: *w.LimitS, AtLimit: w.AtLimit,
			Source: w.Source, Date: w.Date, Mark: w.Mark, Note: w.Note})
	}
	if len(out) == 0 || out[0].ID != DefaultWindow {
		return nil, fmt.Errorf("windows: the first must be %q", DefaultWindow)
	}
	return out, nil
}
