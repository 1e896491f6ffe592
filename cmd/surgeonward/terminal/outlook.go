package terminal

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"surgeonward/routing"
)

// mostDeadlines is how many more deadlines are listed: they come in order, and
// nobody plans by those after that.
const mostDeadlines = 6

// decideBy says until when the first option is the first, and what then.
func (v *view) decideBy() {
	d := v.page.Answer.DecideBy
	if d == nil {
		return
	}
	when := "Decide by " + v.by(d)
	if d.LatestStart.Sub(v.page.Answer.At) < time.Minute {
		when = "Decide now"
	}
	instead := d.Instead
	if rank, ok := v.rank(d.Overtaker); ok {
		instead = rank + ": " + instead
	}
	v.paragraph("   ", fmt.Sprintf("%s: %s. Later, rather %s.", when, d.Start, instead))
}

// outlook lists the other deadlines by the clock, says what the runner-up
// lacks, and draws what the first option's total hangs on.
func (v *view) outlook() {
	ans := v.page.Answer
	first := &ans.Options[0]
	until := slices.Clone(ans.Until)
	if d := ans.DecideBy; d != nil {
		until = slices.DeleteFunc(until, func(u routing.Deadline) bool { return u.Activity == d.Activity })
	}
	slices.SortStableFunc(until, func(a, b routing.Deadline) int { return a.LatestStart.Compare(b.LatestStart) })
	called := clock(ans.At, ans.At, v.page.Zone)
	switch {
	case len(until) > 0:
		v.paragraph("", fmt.Sprintf("Latest starts of %d, and what is quicker after that, its vehicles called at %s:", first.Rank, called))
	case ans.DecideBy != nil:
		v.paragraph("", "The other way is quicker then if its vehicles are called at "+called+".")
	}
	said := map[string]string{}
	for i := range until[:min(len(until), mostDeadlines)] {
		d := &until[i]
		instead, ok := v.rank(d.Overtaker)
		if !ok {
			if instead = said[d.Overtaker]; instead == "" {
				instead, said[d.Overtaker] = d.Instead, "the same as after "+v.by(d)
			}
		}
		v.paragraph("  "+v.by(d)+"  ", d.Start+", then "+instead)
	}
	if more := len(until) - mostDeadlines; more > 0 {
		v.paragraph("  ", fmt.Sprintf("and %d later ones, the last %s", more, v.by(&until[len(until)-1])))
	}
	if r := ans.RunnerUp; r != nil {
		if rank, ok := v.rank(r.Option); ok {
			v.paragraph("Runner-up: ", rank+", "+r.Gap)
		} else {
			v.paragraph("Runner-up: ", r.Sentence)
		}
	}
	if ans.DecideBy != nil || ans.RunnerUp != nil {
		v.line("")
	}
	v.bars()
}

// by is the local time of a deadline, its seconds cut off: never later than it is.
func (v *view) by(d *routing.Deadline) string {
	return clock(d.LatestStart.Truncate(time.Minute), v.page.Answer.At, v.page.Zone)
}

// rank is the number of an option in the table.
func (v *view) rank(id string) (string, bool) {
	for i := range v.page.Answer.Options {
		if o := &v.page.Answer.Options[i]; o.ID == id {
			return strconv.Itoa(o.Rank), true
		}
	}
	return "", false
}
