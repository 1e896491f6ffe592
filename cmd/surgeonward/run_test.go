package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// result is what a run printed and how it ended.
type result struct {
	code        int
	out, errors string
}

// call runs the program in this process, with no environment.
func call(t *testing.T, stdin string, args ...string) result {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code := run(t.Context(), args, func(string) string { return "" }, strings.NewReader(stdin), &stdout, &stderr)
	return result{code, stdout.String(), stderr.String()}
}

// Source of every row: the exit codes of run's comment; 2 is for arguments that
// make no sense.
func TestUsage(t *testing.T) {
	for _, tc := range []struct {
		name string
		args []string
		want string
	}{
		{"nothing", nil, "expected one of"},
		{"no such command", []string{"fly"}, "fly"},
		{"misspelt flag", []string{"options", "--scen", "45.5,-29.4"}, "--scen"},
		{"no question", []string{"options"}, "no question"},
		{"two questions", []string{"options", "--scene", "45.5,-29.4", "--facility", "x"}, "more than one question"},
		{"scenario with a bad flag", []string{"options", "--scenario", "harbour-stabbing", "--age", "-3"}, "--age: "},
		{"scenario elsewhere", []string{"options", "--scenario", "harbour-stabbing", "--region", "x"}, "leave --region out"},
		{"no such scenario", []string{"options", "--scenario", "nope"}, "harbour-stabbing"},
		{"scenario outside its folder", []string{"options", "--scenario", "../demo/fleet"}, "no scenario of that name"},
		{"two forms", []string{"options", "--scenario", "harbour-stabbing", "--json", "--geojson"}, "can't be used together"},
		{"age in words", []string{"options", "--scene", "45.5,-29.4", "--age", "old"}, "--age"},
		{"age that is no number", []string{"options", "--scene", "45.5,-29.4", "--age", "NaN"}, "--age: "},
		{"position in words", []string{"options", "--scene", "by the harbour"}, "--scene: "},
		{"landing misspelt", []string{"options", "--scene", "45.5,-29.4", "--landing", "posible"}, "--landing: "},
		{"capability misspelt", []string{"options", "--scene", "45.5,-29.4", "--need", "cardiothoracic_sugery"}, "--need: "},
		{"no such hospital", []string{"options", "--facility", "nowhere"}, "--facility: "},
		{"check without a folder", []string{"check"}, "<dir>"},
		{"port missing", []string{"serve", "--listen", "127.0.0.1"}, "--listen: "},
		{"every interface", []string{"serve", "--listen", ":0"}, "--allow-wide"},
		{"every IPv6 interface", []string{"serve", "--listen", "[::]:0"}, "--allow-wide"},
		{"another interface", []string{"serve", "--listen", "192.0.2.1:0"}, "--allow-wide"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := call(t, "", tc.args...)
			assert.Equal(t, exitUsage, got.code)
			assert.Empty(t, got.out)
			assert.Contains(t, got.errors, tc.want)
			for line := range strings.Lines(got.errors) {
				assert.True(t, strings.HasPrefix(line, "surgeonward: "), line)
			}
		})
	}
}

func TestFailures(t *testing.T) {
	for _, tc := range []struct {
		name  string
		stdin string
		args  []string
		want  string
	}{
		{"no such folder", "", []string{"check", "testdata/none"}, "testdata/none"},
		{"no folder but a file", "", []string{"check", "run_test.go"}, "not a folder"},
		{"region that is none", "", []string{"options", "--region", "template/README.md", "--scene", "45.5,-29.4"}, "not a folder"},
		{"no such request", "", []string{"options", "--request", "testdata/none.json"}, "testdata/none.json"},
		{"empty request", "", []string{"options", "--request", "-"}, "#: "},
		{"request that is no question", `{"scene": {"landing": "no"}, "patient": {"age": 3}}`, []string{"options", "--request", "-"}, "#/scene/landing: "},
		{"every fault of a request", `{"scene": {"landing": "no"}, "patient": {"age": 3}}`, []string{"options", "--request", "-"}, "#/patient/age: "},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := call(t, tc.stdin, tc.args...)
			assert.Equal(t, exitFailed, got.code)
			assert.Empty(t, got.out)
			assert.Contains(t, got.errors, tc.want)
		})
	}
}

func TestVersion(t *testing.T) {
	got := call(t, "", "version")
	assert.Equal(t, exitOK, got.code)
	assert.Regexp(t, `^surgeonward \S+ go\S+ \S+/\S+\n$`, got.out)
}

func TestHelp(t *testing.T) {
	for _, args := range [][]string{{"--help"}, {"options", "--help"}, {"serve", "--help"}} {
		got := call(t, "", args...)
		assert.Equal(t, exitOK, got.code)
		assert.Contains(t, got.out, "surgeonward")
		assert.Empty(t, got.errors)
	}
}
