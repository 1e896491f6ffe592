package terminal

import "strings"

// The widths that are drawn: narrower and wider requests are taken as these.
const (
	MinWidth     = 40
	MaxWidth     = 200
	DefaultWidth = 80
)

// Style is how to print.
type Style struct {
	Width    int  // columns; 0: DefaultWidth
	Unicode  bool // characters beyond ASCII may be used
	AllLanes bool // a lane chart for every option instead of the first only
	AllPairs bool // every impossible way instead of a summary by reason
}

// columns is the width to draw at.
func (s Style) columns() int {
	if s.Width == 0 {
		return DefaultWidth
	}
	return min(max(s.Width, MinWidth), MaxWidth)
}

// SpeaksUTF8 reports whether the locale in the environment is a UTF-8 one, by
// the precedence POSIX gives the variables: LC_ALL, then LC_CTYPE, then LANG
// (IEEE Std 1003.1, Environment Variables, 8.2).
func SpeaksUTF8(env func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if locale := env(name); locale != "" {
			locale = strings.ToUpper(locale)
			return strings.Contains(locale, "UTF-8") || strings.Contains(locale, "UTF8")
		}
	}
	return false
}
