package strictjson

import (
	"strconv"
	"strings"
	"unicode"
)

// maxShown is how many characters of the input one quotation shows.
const maxShown = 60

// Quote shows text from the input inside a sentence: in double quotes, at most 60
// characters, and with everything that does not print replaced.
func Quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	n := 0
	for _, r := range s {
		if n == maxShown {
			b.WriteString("…")
			break
		}
		if !unicode.IsPrint(r) {
			r = unicode.ReplacementChar
		}
		b.WriteRune(r)
		n++
	}
	b.WriteByte('"')
	return b.String()
}

// list joins words as "a", "b" or "c" (the last joined by the word given), at most
// twenty of them.
func list(items []string, last string) string {
	const most = 20
	if len(items) > most {
		rest := len(items) - most
		return strings.Join(items[:most], ", ") + " " + last + " " + strconv.Itoa(rest) + " more"
	}
	switch n := len(items); n {
	case 0:
		return ""
	case 1:
		return items[0]
	default:
		return strings.Join(items[:n-1], ", ") + " " + last + " " + items[n-1]
	}
}

func quoteAll(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = Quote(w)
	}
	return out
}

// showNumber writes a number without exponent where that is short.
func showNumber(f float64) string {
	if a := f; (a < 1e15 && a > -1e15) && (a == 0 || a >= 1e-6 || a <= -1e-6) {
		return strconv.FormatFloat(f, 'f', -1, 64)
	}
	return strconv.FormatFloat(f, 'g', -1, 64)
}

// showValue shows a decoded value: containers by their type only.
func showValue(v any) string {
	switch v := v.(type) {
	case nil:
		return "null"
	case bool:
		return strconv.FormatBool(v)
	case string:
		return Quote(v)
	case float64:
		return showNumber(v)
	case []any:
		return "an array"
	case map[string]any:
		return "an object"
	default:
		if s, ok := v.(interface{ String() string }); ok {
			return s.String()
		}
		return "a value"
	}
}
