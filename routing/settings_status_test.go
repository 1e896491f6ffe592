package routing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"surgeonward/facilities"
	"surgeonward/routing"
)

// Source: the schema's descriptions.
func TestDecodeSettingsStatus(t *testing.T) {
	s := decodeSettings(t, fullRegion).Status
	assert.Equal(t, []routing.ReportedID{{Reported: "urn:example:17", Facility: "chest"}, {Reported: "north", Facility: "town"}}, s.IDs)
	assert.Equal(t, map[string]string{"urn:example:17": "chest", "north": "town"}, s.ByReported())
	assert.Equal(t, map[string]facilities.AcceptState{"green": facilities.Open, "amber": facilities.Divert, "black": facilities.Closed}, s.Colours,
		"in lower case, as reports are read")
	none := decodeSettings(t, plainRegion).Status
	assert.Empty(t, none.ByReported())
	assert.Empty(t, none.Colours)
}
