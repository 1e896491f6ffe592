package facilities_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"surgeonward/facilities"
)

// AMC1 SPA.HEMS.125(b)(4), regulatorylibrary.caa.co.uk (read): an operating
// site is at least 2 D; by night, where it has not been surveyed, at least 4 D
// long and 2 D wide. D is the largest dimension with rotors turning.
func TestClearAreaTakes(t *testing.T) {
	const d = 13.0
	for _, row := range []struct {
		name            string
		area            facilities.ClearArea
		night, expected bool
	}{
		{"2 D by day", facilities.ClearArea{LengthM: 26, WidthM: 26}, false, true},
		{"short of 2 D in width", facilities.ClearArea{LengthM: 60, WidthM: 25.9}, false, false},
		{"2 D by night, not surveyed", facilities.ClearArea{LengthM: 26, WidthM: 26}, true, false},
		{"2 D by night, surveyed", facilities.ClearArea{LengthM: 26, WidthM: 26, Surveyed: true}, true, true},
		{"4 D by 2 D by night", facilities.ClearArea{LengthM: 52, WidthM: 26}, true, true},
		{"short of 4 D by night", facilities.ClearArea{LengthM: 51.9, WidthM: 40}, true, false},
	} {
		assert.Equal(t, row.expected, row.area.Takes(d, row.night), row.name)
	}
	assert.True(t, facilities.ClearArea{LengthM: 1, WidthM: 1}.Takes(0, true), "a D-value that is not stated")
}
