package routing

import (
	"cmp"
	"slices"
	"strings"
)

// prospect is a way that has only been bounded: it cannot be over sooner than
// leastS.
type prospect struct {
	way    way
	leastS float64
	key    string // breaks ties, so that the order is total
}

// bound is what the prospects' leastS is a bound of.
type bound uint8

const (
	ofHandover bound = iota // the patient's clock
	ofTotal                 // the later of the patient's clock and the surgeon's
)

// best finds the best of the prospects, which build makes whole: the soonest
// total, then the soonest handover, then the key. Prospects are looked at in
// order of their bounds, and the search ends when no bound is better than what
// has been found. The total is the later of the patient's clock and the
// hospital's, so that a prospect that cannot hand over sooner cannot win.
// Without any that works, the reasons are those of the most promising one; none
// where no prospect can be as soon as the problem's cut.
func (p *problem) best(prospects []prospect, of bound, w *network, whole func(*prospect) []Reason) (candidate, []Reason) {
	slices.SortFunc(prospects, func(a, b prospect) int {
		return cmp.Or(cmp.Compare(a.leastS, b.leastS), strings.Compare(a.key, b.key))
	})
	var found candidate
	var reasons []Reason
	handedS, key, some := 0.0, "", false
	for i := range prospects {
		t := &prospects[i]
		if t.leastS > p.cutS || some && (t.leastS > found.total.TypicalS || of == ofHandover && t.leastS > handedS) {
			break
		}
		why := whole(t)
		if len(why) == 0 {
			why = p.build(&t.way, w)
		}
		if len(why) > 0 {
			if reasons == nil {
				reasons = why
			}
			continue
		}
		total := w.total()
		if !some || cmp.Or(cmp.Compare(total.TypicalS, found.total.TypicalS),
			cmp.Compare(w.handedS, handedS), strings.Compare(t.key, key)) < 0 {
			found, some = p.candidate(&t.way, total), true
			handedS, key = w.handedS, t.key
		}
	}
	if some {
		return found, nil
	}
	return found, reasons
}
