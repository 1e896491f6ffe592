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
		{"wind run together", []string{"options", "--scene", "45.5,-29.4", "--wind", "24018"}, "--wind: write degrees true and knots"},
		{"wind in words", []string{"options", "--scene", "45.5,-29.4", "--wind", "west"}, "--wind: "},
		{"wind round the compass", []string{"options", "--scene", "45.5,-29.4", "--wind", "400/18"}, "--wind: "},
		{"gust below the wind", []string{"options", "--scene", "45.5,-29.4", "--wind", "240/18G9"}, "--wind: "},
		{"ceiling underground", []string{"options", "--scene", "45.5,-29.4", "--ceiling-ft", "-1"}, "--ceiling-ft: "},
		{"ceiling without number", []string{"options", "--scene", "45.5,-29.4", "--ceiling-ft", "NaN"}, "--ceiling-ft: must be a number"},
		{"visibility beyond all", []string{"options", "--scene", "45.5,-29.4", "--visibility-m", "1e9"}, "--visibility-m: "},
		{"carried too far", []string{"options", "--scene", "45.5,-29.4", "--carry-m", "1e6"}, "--carry-m: "},
		{"carried without end", []string{"options", "--scene", "45.5,-29.4", "--carry-m", "+Inf"}, "--carry-m: must be a number"},
		{"target in the past", []string{"options", "--scene", "45.5,-29.4", "--target-min", "-5"}, "--target-min: "},
		{"target without end", []string{"options", "--scene", "45.5,-29.4", "--target-min", "Inf"}, "--target-min: must be a number"},
		{"target beyond all numbers", []string{"options", "--scene", "45.5,-29.4", "--target-min", "1e308"}, "--target-min: "},
		{"a fact in words", []string{"options", "--scene", "45.5,-29.4", "--happened", "Helicopter 1 has lifted"}, "--happened: write ASSET,EVENT,TIME"},
		{"half a fact", []string{"options", "--scene", "45.5,-29.4", "--happened", "heli-1,,2031-03-14T21:30:00Z"}, "--happened: write ASSET,EVENT,TIME"},
		{"a fact too long", []string{"options", "--scene", "45.5,-29.4", "--happened", "heli-1,lifted,2031-03-14T21:30:00Z,ettuquar-chest,x"}, "--happened: write ASSET,EVENT,TIME"},
		{"a fact misspelt", []string{"options", "--scene", "45.5,-29.4", "--happened", "heli-1,lifed,2031-03-14T21:30:00Z"}, `--happened: "event" must be one of`},
		{"a fact without zone", []string{"options", "--scene", "45.5,-29.4", "--happened", "heli-1,lifted,21:30"}, "--happened: "},
		{"the second fact unknown", []string{"options", "--scene", "45.5,-29.4", "--at", "2031-03-14T21:40:00Z",
			"--happened", "heli-1,lifted,2031-03-14T21:30:00Z", "--happened", "heli-99,lifted,2031-03-14T21:30:00Z"}, "--happened number 2: no asset"},
		{"a fact in the future", []string{"options", "--scene", "45.5,-29.4", "--at", "2031-03-14T21:40:00Z", "--happened", "heli-1,lifted,2031-03-14T21:41:00Z"}, "--happened: is after the decision time"},
		{"lost in the future", []string{"options", "--scene", "45.5,-29.4", "--at", "2031-03-14T21:40:00Z", "--lost-at", "2031-03-14T21:41:00Z"}, "--lost-at: is after the decision time"},
		{"regained in words", []string{"options", "--scene", "45.5,-29.4", "--regained-at", "now"}, "--regained-at: "},
		{"report in prose", []string{"options", "--scene", "45.5,-29.4", "--report", "lovely weather"}, "--report: "},
		{"second report in prose", []string{"options", "--scene", "45.5,-29.4", "--at", "2031-03-14T21:40:00Z",
			"--report", "METAR QQOV 142120Z 24018KT 9999 FEW040", "--report", "lovely weather"}, "--report number 2: "},
		{"no such weather", []string{"options", "--scenario", "harbour-stabbing", "--weather", "nope"}, "windy-night"},
		{"weather outside its folder", []string{"options", "--scenario", "harbour-stabbing", "--weather", "../README"}, "no weather of that name"},
		{"weather of no time", []string{"options", "--scene", "45.5,-29.4", "--weather", "windy-night"}, "--at"},
		{"weather of another time", []string{"options", "--scenario", "harbour-stabbing", "--at", "2031-03-22T12:00:00Z", "--weather", "windy-night"}, "within a day"},
		{"weather elsewhere", []string{"options", "--scene", "45.5,-29.4", "--weather", "windy-night", "--region", "x"}, "--reports"},
		{"reach without a scene", []string{"reach"}, "no question"},
		{"reach in no time", []string{"reach", "--scene", "45.5,-29.4", "--window-min", "0"}, "--window-min: "},
		{"reach in time without end", []string{"reach", "--scene", "45.5,-29.4", "--window-min", "Inf"}, "--window-min: must be a number"},
		{"reach in no window", []string{"reach", "--scene", "45.5,-29.4", "--window", "nope"}, "--window: "},
		{"reach in two windows", []string{"reach", "--scene", "45.5,-29.4", "--window", "anzcor", "--window-min", "9"}, "--window-min: "},
		{"reach by magic", []string{"reach", "--scene", "45.5,-29.4", "--skill", "magic"}, "--skill: "},
		{"output lost later", []string{"reach", "--scene", "45.5,-29.4", "--at", "2031-03-14T21:40:00Z", "--lost-at", "2031-03-14T21:41:00Z"}, "--lost-at: "},
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
		{"no such reports", "", []string{"options", "--scene", "45.5,-29.4", "--reports", "testdata/none.txt"}, "testdata/none.txt"},
		{"reports in no file", "", []string{"options", "--scene", "45.5,-29.4", "--reports", "testdata"}, "testdata"},
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
	for _, args := range [][]string{{"--help"}, {"options", "--help"}, {"serve", "--help"}, {"reach", "--help"}} {
		got := call(t, "", args...)
		assert.Equal(t, exitOK, got.code)
		assert.Contains(t, got.out, "surgeonward")
		assert.Empty(t, got.errors)
	}
}
