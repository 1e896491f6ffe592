package terminal

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// maxMarks is how many combining marks may follow one letter: more than any
// living script stacks, fewer than it takes to smear over other lines.
const maxMarks = 4

// Clean makes text from a file or a request safe to print on one line. Line
// breaks and tabs become spaces. Control characters, which can move the cursor
// or recolour the screen, and invisible format characters, which can reverse
// the reading order, become the replacement character, as does invalid UTF-8.
func Clean(s string) string {
	var b strings.Builder
	marks := 0
	for _, r := range s {
		switch {
		case r == '\n' || r == '\r' || r == '\t' || unicode.In(r, unicode.Zl, unicode.Zp, unicode.Zs):
			r = ' '
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs) || !assigned(r):
			r = utf8.RuneError
		}
		if unicode.In(r, unicode.Mn, unicode.Me) {
			if marks++; marks > maxMarks {
				continue
			}
		} else {
			marks = 0
		}
		b.WriteRune(r)
	}
	return b.String()
}

// assigned reports whether the character has a meaning and so a known width.
func assigned(r rune) bool {
	return unicode.In(r, unicode.L, unicode.M, unicode.N, unicode.P, unicode.S, unicode.Z)
}

// text is Clean, then, where the terminal speaks only ASCII, letters without
// their accents and "?" for the rest.
func (s Style) text(raw string) string {
	clean := Clean(raw)
	if s.Unicode {
		return clean
	}
	return ascii(clean)
}

func ascii(s string) string {
	var b strings.Builder
	for _, r := range norm.NFD.String(s) {
		switch {
		case r < utf8.RuneSelf:
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r):
		case r == '°':
			b.WriteString(" deg")
		case r == '–' || r == '—' || r == '−':
			b.WriteByte('-')
		case r == '‘' || r == '’':
			b.WriteByte('\'')
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}
