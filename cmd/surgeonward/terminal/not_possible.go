package terminal

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"surgeonward/routing"
)

// notPossible says what was left out and why: by reason with one example, or
// way by way.
func (v *view) notPossible() {
	pairs := v.page.Answer.NotPossible
	if len(pairs) == 0 {
		return
	}
	v.paragraph("", fmt.Sprintf("Not possible: %s, each a vehicle and a hospital in one shape", plural(len(pairs), "way")))
	if v.style.AllPairs {
		for i := range pairs {
			v.pair(&pairs[i])
		}
		return
	}
	for _, g := range byReason(pairs) {
		v.paragraph(fmt.Sprintf("%5d  ", g.count), fmt.Sprintf("%s, such as %s: %s",
			strings.ReplaceAll(string(g.code), "_", " "), v.way(g.first), g.detail))
	}
	v.paragraph("       ", "A way with several reasons counts under each. Every way: --all")
}

func (v *view) pair(np *routing.NotPossible) {
	details := make([]string, len(np.Reasons))
	for i, r := range np.Reasons {
		details[i] = r.Detail
	}
	v.paragraph("  ", v.way(np)+": "+strings.Join(details, "; "))
}

func (v *view) way(np *routing.NotPossible) string {
	asset, to := v.asset(np.Asset), v.facility(np.Destination)
	switch np.Shape {
	case routing.ViaHospital:
		return asset + " to " + to + " via a nearer hospital"
	case routing.SurgeonTravels:
		return asset + " with a surgical team to " + to
	}
	return asset + " to " + to + " by " + shape(np.Shape)
}

// group is every way that one reason rules out.
type group struct {
	code   routing.ReasonCode
	count  int
	first  *routing.NotPossible
	detail string
}

// byReason counts the ways under each reason, the most frequent first.
func byReason(pairs []routing.NotPossible) []group {
	var groups []group
	for i := range pairs {
		seen := map[routing.ReasonCode]bool{}
		for _, r := range pairs[i].Reasons {
			if seen[r.Code] {
				continue
			}
			seen[r.Code] = true
			at := slices.IndexFunc(groups, func(g group) bool { return g.code == r.Code })
			if at < 0 {
				at = len(groups)
				groups = append(groups, group{code: r.Code, first: &pairs[i], detail: r.Detail})
			}
			groups[at].count++
		}
	}
	slices.SortFunc(groups, func(a, b group) int {
		return cmp.Or(cmp.Compare(b.count, a.count), cmp.Compare(a.code, b.code))
	})
	return groups
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
