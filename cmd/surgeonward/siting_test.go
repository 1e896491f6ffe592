package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSitingAtHospitals: a pad or a surgeon is put where there is none, and the page says what is
// taken for granted.
func TestSitingAtHospitals(t *testing.T) {
	for _, row := range []struct{ what, says, granted string }{
		{"pad", "by putting a pad at some of 2 candidates", "a pad is taken to be lit"},
		{"surgeon", "by putting a resident surgeon at some of 8 candidates", "a surgeon is taken to be resident at all hours"},
	} {
		t.Run(row.what, func(t *testing.T) {
			got := call(t, "", "siting", day, "--night", "--grid-km", "40", "--what", row.what, "--objective", "mean-time", "--count", "2")
			require.Equal(t, exitOK, got.code, got.errors)
			page := strings.Join(strings.Fields(got.out), " ")
			assert.Contains(t, page, row.says)
			assert.Contains(t, page, row.granted)
			assert.Contains(t, page, "Proven: no other choice")
			assert.NotContains(t, page, "Ettuquar Heart and Chest Hospital adds", "there is one already")
		})
	}
	for _, row := range []struct {
		name string
		args []string
		says string
	}{
		{"busy pads", []string{"--what", "pad", "--objective", "expected-cover"}, "expected-cover is about assets"},
		{"a pad like a helicopter", []string{"--what", "pad", "--like", "heli-1"}, "leave --like"},
		{"a hangar", []string{"--what", "hangar"}, "--what"},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := call(t, "", append([]string{"siting", day, "--grid-km", "40"}, row.args...)...)
			assert.Equal(t, exitUsage, got.code)
			assert.Contains(t, got.errors, row.says)
		})
	}
}

// TestSitingTogether: with assets that are mostly busy and one place, both go there.
func TestSitingTogether(t *testing.T) {
	places := written(t, "places.csv", "latitude,longitude,people,name\n45.6,-29.3,1,The field\n")
	got := call(t, "", "siting", day, "--night", "--grid-km", "40", "--candidates", places, "--objective", "expected-cover", "--busy", "0.8", "--count", "2", "--within-min", "50")
	require.Equal(t, exitOK, got.code, got.errors)
	page := strings.Join(strings.Fields(got.out), " ")
	assert.Contains(t, page, "Choice: The field, 2 of them.")
	assert.Contains(t, page, "each asset of that kind busy 80 % of the time")
}
