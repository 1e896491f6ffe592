package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tables are the people's columns of the tables that a page prints.
func tables(page string) (out []string) {
	for line := range strings.Lines(page) {
		switch {
		case strings.HasPrefix(line, "  within"):
			out = append(out, "")
		case strings.HasPrefix(line, "  ") && strings.Contains(line, " min ") && len(out) > 0:
			out[len(out)-1] += line
		}
	}
	return out
}

// TestBusyCoverage: with no calls the second table is the first; with calls the page and the
// report say how busy who is. Source: identity.
func TestBusyCoverage(t *testing.T) {
	report := filepath.Join(t.TempDir(), "r.html")
	none := call(t, "", "coverage", day, "--grid-km", "40", "--calls-per-day", "0")
	require.Equal(t, exitOK, none.code, none.errors)
	both := tables(none.out)
	require.Len(t, both, 2)
	assert.Equal(t, both[0], both[1])

	some := call(t, "", "coverage", day, "--grid-km", "40", "--calls-per-day", "12", "--service-min", "120",
		"--busy-asset", "heli-1", "--busy-asset", "heli-2", "--html", report)
	require.Equal(t, exitOK, some.code, some.errors)
	page := strings.Join(strings.Fields(some.out), " ")
	assert.Contains(t, page, "With 12 calls per day, expected while assets are out on them")
	assert.Contains(t, page, "Busy: Helicopter 2")
	assert.Contains(t, page, "Hypercube queueing model")
	assert.Contains(t, page, "takes an asset for 120 min on average")
	assert.NotContains(t, page, "3 assets that are sent", "the others are always free")
	html, err := os.ReadFile(report)
	require.NoError(t, err)
	assert.Contains(t, string(html), "While assets are out on other calls")
}

func TestBusyFlags(t *testing.T) {
	for _, row := range []struct {
		name string
		args []string
		says string
	}{
		{"service without calls", []string{"--service-min", "60"}, "give --calls-per-day too"},
		{"nobody", []string{"--calls-per-day", "5", "--busy-asset", "heli-77"}, `no asset "heli-77"`},
		{"negative", []string{"--calls-per-day=-5"}, "-5 calls per day"},
		{"not a number", []string{"--calls-per-day", "NaN"}, "NaN calls per day"},
		{"depth", []string{"--calls-per-day", "5", "--depth", "99"}, "a depth of 99 assets"},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := call(t, "", append([]string{"coverage", day, "--grid-km", "40"}, row.args...)...)
			assert.Equal(t, exitUsage, got.code)
			assert.Contains(t, got.errors, row.says)
		})
	}
}
