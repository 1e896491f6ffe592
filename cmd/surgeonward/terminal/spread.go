package terminal

import (
	"fmt"
	"strings"

	"surgeonward/routing"
)

// leastChance is the chance from which an option is named: half a percent, so
// that no option is listed with nothing.
const leastChance = 0.005

// spread says how sure the order is: in how many of 100 draws each option is
// the quickest, and between which times the first one lies.
func (v *view) spread() {
	ans := v.page.Answer
	other := ans.QuickestOther
	var parts []string
	for i := range ans.Options {
		o := &ans.Options[i]
		if o.Spread.Quickest < leastChance {
			other += o.Spread.Quickest
			continue
		}
		parts = append(parts, fmt.Sprintf("%d. %s", o.Rank, routing.Percent(o.Spread.Quickest)))
	}
	if other > 0 && len(parts) > 0 {
		parts = append(parts, "any other "+routing.Percent(other))
	}
	if len(parts) > 0 {
		v.paragraph("Chance to be the quickest: ", strings.Join(parts, ", "))
	}
	first := &ans.Options[0]
	text := fmt.Sprintf("%s to %s min (1 in 10 is quicker, 1 in 10 slower)", minutes(first.Spread.P10S), minutes(first.Spread.P90S))
	if within := first.Spread.Within; within != nil {
		text += fmt.Sprintf("; within %s min: %s", minutes(v.page.TargetS), routing.Percent(*within))
	}
	v.paragraph(fmt.Sprintf("Range of %d: ", first.Rank), text)
}
