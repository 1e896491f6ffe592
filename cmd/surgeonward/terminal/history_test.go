package terminal_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/store"
)

// Whatever is in the history, no line is wider than the screen and none moves
// the cursor. Source: definition, as in TestFits and TestHostileNames.
func TestHistoryFits(t *testing.T) {
	evil := "A\x1b[2J\u202eB\r\nC" + strings.Repeat("x", 500)
	e := store.Entry{Number: 1 << 40, At: at, Who: evil, Why: evil, More: 7, Files: []store.File{{Name: "fleet.json", Size: 7}}}
	for range 9 {
		e.What = append(e.What, store.Change{Action: evil, File: evil, Element: evil, Before: []byte(`{"a":"` + strings.Repeat("y", 900) + `"}`), After: []byte(`{"a":"\u001b"}`)})
	}
	for _, cols := range []int{40, 60, 79, 80, 81, 120, 200} {
		var out bytes.Buffer
		s := terminal.Style{Width: cols, Unicode: true}
		require.NoError(t, terminal.WriteHistory(&out, terminal.HistoryPage{Region: evil, Demonstration: true, Entries: []store.Entry{e}, Next: 1 << 40}, s))
		assert.Contains(t, strings.Join(strings.Fields(out.String()), " "), "and 12 more")
		require.NoError(t, terminal.WriteVersion(&out, terminal.VersionPage{Region: evil, Demonstration: true, Entry: e, Changes: e.What, More: e.More}, s))
		for line := range strings.Lines(out.String()) {
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), cols, line)
		}
		for _, bad := range []string{"\x1b", "\u202e", "\r"} {
			assert.NotContains(t, out.String(), bad)
		}
	}
}
