package position

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

const maxRunes = 200

// clean brings a text to one spelling: trimmed, upper-case ASCII letters, one kind
// of minus sign, degree sign, minute and second mark, and single spaces.
func clean(text string) (string, error) {
	// Four bytes is the longest rune: longer text need not be looked at.
	if len(text) > maxRunes*utf8.UTFMax || utf8.RuneCountInString(text) > maxRunes {
		return "", refuse("write only the position", "the text is longer than %d characters", maxRunes)
	}
	if !utf8.ValidString(text) {
		return "", refuse("type it again", "the text is not valid UTF-8")
	}
	text = strings.TrimSpace(text)
	if text == "" {
		return "", refuse(everyFormat, "the position is empty")
	}
	var b strings.Builder
	for _, r := range text {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return "", refuse("type it again without", "the text holds the hidden character %U", r)
		}
		b.WriteRune(oneSpelling(r))
	}
	return strings.Join(strings.Fields(b.String()), " "), nil
}

func oneSpelling(r rune) rune {
	switch r {
	case '\u2010', '\u2011', '\u2012', '\u2013', '\u2212', '\ufe63', '\uff0d':
		return '-' // hyphens, figure and en dash, minus, small and full-width hyphen
	case '\u00ba', '\u02da':
		return '°' // masculine ordinal, ring above
	case '\u2032', '\u2018', '\u2019', '\u02b9', '\u02bc', '\u00b4', '`':
		return '\'' // prime, single quotes, modifier prime and apostrophe, accents
	case '\u2033', '\u201c', '\u201d', '\u02ba':
		return '"' // double prime, double quotes, modifier double prime
	}
	if unicode.IsSpace(r) {
		return ' '
	}
	if r >= 'a' && r <= 'z' {
		return r - 'a' + 'A'
	}
	return r
}
