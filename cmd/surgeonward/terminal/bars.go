package terminal

import (
	"fmt"
	"math"
	"strings"

	"surgeonward/routing"
)

// leastChangeS is the change from which a cause has a bar, in seconds: under
// half a minute nobody decides by it.
const leastChangeS = 30

// valueWidth holds the longest change in minutes, of two days, and a space.
const valueWidth = len("2880.0 ")

// bars draws what the first option's total hangs on: by how many minutes each
// thing, slow alone, makes it longer.
func (v *view) bars() {
	rows := v.page.Answer.Sensitivity
	if len(rows) == 0 {
		return
	}
	first := &v.page.Answer.Options[0]
	drawn := 0
	for drawn < len(rows) && rows[drawn].ChangeS >= leastChangeS {
		drawn++
	}
	if drawn > 0 {
		v.paragraph("", fmt.Sprintf("One thing alone slow makes %d longer by so many minutes:", first.Rank))
	}
	labels, longest := make([]string, drawn), 0
	for i := range drawn {
		labels[i] = v.style.text(v.hangsOn(&rows[i], first))
		longest = max(longest, width(labels[i]))
	}
	longest = min(longest, v.columns/2)
	cells := v.columns - longest - 1 - valueWidth
	for i, label := range labels {
		lines := []string{label}
		if width(label) > longest {
			lines = wrap(label, longest-len(further))
		}
		bar := strings.Repeat(string(v.style.marks().critical), max(1, int(math.Round(float64(cells)*rows[i].ChangeS/rows[0].ChangeS))))
		v.line(fmt.Sprintf("%s %*s %s", pad(lines[0], longest), valueWidth-1, tenths(rows[i].ChangeS), bar))
		for _, line := range lines[1:] {
			v.line(further + line)
		}
	}
	v.little(rows[drawn:], first)
	v.line("")
}

// little counts the causes that hardly matter. The roads and the wind, which a
// person asks for first, are named.
func (v *view) little(rows []routing.Sensitivity, first *routing.Option) {
	var parts []string
	others := 0
	for i := range rows {
		switch r := &rows[i]; {
		case !strings.HasPrefix(r.What, slowly) || r.First != first.ID:
			parts = append(parts, v.hangsOn(r, first))
		default:
			others++
		}
	}
	switch {
	case others == 1 && len(parts) > 0:
		parts = append(parts, "1 other")
	case others > 0 && len(parts) > 0:
		parts = append(parts, fmt.Sprintf("%d others", others))
	case others > 0:
		parts = append(parts, fmt.Sprintf("%d things", others))
	}
	if len(parts) > 0 {
		v.paragraph("Under half a minute: ", strings.Join(parts, "; "))
	}
}

// further begins what is left of a long label.
const further = "  "

// slowly is how the engine begins a cause that is slow.
const slowly = "slow: "

// hangsOn names a cause, without the hospital that every line would name, and
// says where another option becomes the first.
func (v *view) hangsOn(r *routing.Sensitivity, first *routing.Option) string {
	label := strings.TrimSuffix(strings.TrimPrefix(r.What, slowly), ", "+first.Destination.Name)
	if r.First == first.ID {
		return label
	}
	if rank, ok := v.rank(r.First); ok {
		return label + " (then rather " + rank + ")"
	}
	return label + " (then rather another)"
}
