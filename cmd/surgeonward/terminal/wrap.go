package terminal

import (
	"strings"
	"unicode"

	"github.com/olekukonko/tablewriter/pkg/twwidth"
)

// width is the number of columns s takes. Ambiguous characters count as one
// whatever the locale, so that the same answer always has the same layout.
func width(s string) int { return twwidth.WidthWithOptions(s, twwidth.Options{}) }

// wrap breaks text at spaces into lines of at most limit columns. A word that
// is longer than a line is broken where the line ends.
func wrap(s string, limit int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" {
			if room := limit - width(line) - 1; room > 0 && fit(word, room) == word && width(word) <= room {
				line += " " + word
				continue
			}
			lines = append(lines, line)
		}
		for head := fit(word, limit); head != word; head = fit(word, limit) {
			lines = append(lines, head)
			word = word[len(head):]
		}
		line = word
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// fit is the longest start of s that takes at most limit columns, combining
// marks included; at least one character, so that wrapping always ends.
func fit(s string, limit int) string {
	end := 0
	for i, r := range s {
		next := i + len(string(r))
		if end > 0 && !unicode.In(r, unicode.Mn, unicode.Me) && width(s[:next]) > limit {
			break
		}
		end = next
	}
	return s[:end]
}

// pad fills s with spaces up to n columns.
func pad(s string, n int) string { return s + strings.Repeat(" ", max(0, n-width(s))) }
