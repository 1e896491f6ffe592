package terminal

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestWrap(t *testing.T) {
	for _, tc := range []struct {
		name, source, text string
		limit              int
		want               []string
	}{
		{"nothing", "definition", "", 5, []string{""}},
		{"fits", "definition", "ab cd", 5, []string{"ab cd"}},
		{"breaks at a space", "definition", "ab cde", 5, []string{"ab", "cde"}},
		{"long word", "definition", "abcdefg h", 3, []string{"abc", "def", "g h"}},
		{"wide characters", "Unicode Annex 11: W is two columns", "日本語", 4, []string{"日本", "語"}},
		{"wider than the line", "a character is never lost", "日", 1, []string{"日"}},
		{"combining mark stays", "Unicode: Mn takes no column", "ae\u0301b", 2, []string{"ae\u0301", "b"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			assert.Equal(t, tc.want, wrap(tc.text, tc.limit), tc.source)
		})
	}
}

// Source: identity. Wrapping loses nothing but spaces and is never too wide,
// single wide characters apart.
func TestWrapProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := Clean(rapid.String().Draw(t, "text"))
		limit := rapid.IntRange(2, 90).Draw(t, "limit")
		lines := wrap(text, limit)
		for _, line := range lines {
			if width(line) > limit {
				t.Fatalf("%q takes %d columns, more than %d", line, width(line), limit)
			}
		}
		if got, want := strings.Join(lines, ""), strings.Join(strings.Fields(text), ""); strings.ReplaceAll(got, " ", "") != want {
			t.Fatalf("%q became %q", want, got)
		}
	})
}

func FuzzClean(f *testing.F) {
	for _, s := range []string{"", "a\x1b[31mb", "\u202eabc", "\xff\xfe", "\u0085", "a\u0301\u0301\u0301\u0301\u0301\u0301", "\U0010ffff", "\u200d", "\u00ad", "\u2028"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		clean := Clean(s)
		assert.Equal(t, clean, Clean(clean), "cleaning twice changes nothing")
		for _, r := range clean {
			if r < ' ' || r >= 0x7f && r < 0xa0 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
				t.Fatalf("%U is left in %q", r, clean)
			}
		}
		for _, r := range (Style{}).text(s) {
			if r < ' ' || r > '~' {
				t.Fatalf("%U is not printable ASCII", r)
			}
		}
		for _, line := range wrap(clean, 10) {
			assert.LessOrEqual(t, width(line), 10)
		}
	})
}
