package terminal

import (
	"fmt"
	"strings"

	"surgeonward/routing"
)

// Columns of the list of activities: the key, what is done, three times, and
// what is left for the basis, which needs minBasis to read well.
const (
	whatWidth = 24
	timeWidth = 6
	basisAt   = 2 + whatWidth + 3*(timeWidth+1) + 2
	minBasis  = 20
)

// activities lists a plan in order of start: minutes after the decision, how
// long each activity can slip, and where its duration comes from.
func (v *view) activities(plan routing.Plan) {
	beside := v.columns >= basisAt+minBasis
	if beside {
		v.line(times(strings.Repeat(" ", 2+whatWidth), "start", "end", "slack") + "  basis")
	}
	for i, a := range plan {
		what := phrase(a.Activity)
		if a.Asset != "" {
			what += ": " + v.asset(a.Asset)
		}
		prefix := string(key(i)) + " "
		start, end, slack := tenths(a.StartS), tenths(a.EndS), tenths(a.SlackS)
		if a.Critical {
			slack = "none"
		}
		if !beside {
			v.paragraph(prefix, what)
			v.paragraph("  ", fmt.Sprintf("%s to %s, slack %s; %s", start, end, slack, a.Basis))
			continue
		}
		whats := wrap(v.style.text(what), whatWidth)
		bases := wrap(v.style.text(a.Basis), v.columns-basisAt)
		v.line(times(prefix+pad(whats[0], whatWidth), start, end, slack) + "  " + bases[0])
		for n := 1; n < max(len(whats), len(bases)); n++ {
			v.line(pad("  "+at(whats, n), basisAt) + at(bases, n))
		}
	}
	v.line("")
}

// times puts three right-aligned columns behind the start of a line.
func times(line, start, end, slack string) string {
	return line + fmt.Sprintf(" %*s %*s %*s", timeWidth, start, timeWidth, end, timeWidth, slack)
}

// at is line n of lines, or nothing.
func at(lines []string, n int) string {
	if n < len(lines) {
		return lines[n]
	}
	return ""
}
