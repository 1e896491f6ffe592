package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// example is a place in the README that shows what a command prints.
var example = regexp.MustCompile(`(?s)<!-- begin: surgeonward ([^\n]*) -->\n(.*?)<!-- end -->`)

// The README shows what the program really prints. Source: identity; with
// -update the README is rewritten, which is then read like code.
func TestReadmeIsTrue(t *testing.T) {
	file, err := filepath.Abs("../../README.md")
	require.NoError(t, err)
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	demoRecord(t, "my-record")
	require.Contains(t, strings.Join(strings.Fields(string(text)), " "), byNightToo, "the change is shown as it is")
	require.NoError(t, os.WriteFile("change.json", []byte(byNightToo), 0o600))
	shown := example.FindAllStringSubmatch(string(text), -1)
	require.NotEmpty(t, shown)
	updated := example.ReplaceAllStringFunc(string(text), func(found string) string {
		part := example.FindStringSubmatch(found)
		got := call(t, "", strings.Fields(part[1])...)
		require.Equal(t, exitOK, got.code, got.errors)
		want := "\n" + indent(got.out)
		if !*update {
			assert.Equal(t, want, part[2], "go test ./cmd/surgeonward -run Readme -update rewrites it")
		}
		return fmt.Sprintf("<!-- begin: surgeonward %s -->\n%s<!-- end -->", part[1], want)
	})
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(updated), 0o644))
	}
}

// indent makes a Markdown code block of the text.
func indent(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		if line = strings.TrimRight(line, " \n"); line != "" {
			line = "    " + line
		}
		b.WriteString(line + "\n")
	}
	return b.String() + "\n"
}
