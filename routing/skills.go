package routing

import (
	"slices"

	"surgeonward/facilities/strictjson"
)

// knownSkills are the words for skills that the trade uses most. Any other
// word may be used too; one that looks like a slip of the pen for a known one
// is warned of, because it would match no question.
var knownSkills = []string{
	"anaesthetist", "blood", "nurse", "paramedic", "physician", "surgeon", "thoracotomy", "winch",
}

// KnownSkills returns the skills that fleet files are checked against for slips of the pen.
func KnownSkills() []string { return slices.Clone(knownSkills) }

func (f *findings) skills(m member) []string {
	var out []string
	for _, item := range m.items() {
		skill := item.text()
		if near, ok := strictjson.Nearest(skill, knownSkills); ok && near != skill {
			f.warn(item.pointer, "unknown skill %s: did you mean %s?", strictjson.Quote(skill), strictjson.Quote(near))
		}
		out = append(out, skill)
	}
	slices.Sort(out)
	return slices.Compact(out)
}
