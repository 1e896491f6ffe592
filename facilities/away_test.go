package facilities_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
)

// Source: definition; who is away is absent until then, whatever the rota says.
func TestAway(t *testing.T) {
	list, faults, _ := decode(collection(feature("h", here, `"kind":"hospital","name":"H",
		"capabilities":["cardiothoracic_surgery","trauma_surgery"],
		"surgeons":{
			"cardiothoracic_surgery":{"otherwise":{"presence":"on_call"},"weekly":[{"days":["fri"],"from":"22:00","to":"24:00","presence":"resident"}]},
			"trauma_surgery":{"otherwise":{"presence":"resident"}}},
		"away":[
			{"what":"surgeon","capability":"cardiothoracic_surgery","until":"2031-03-14T23:00:00Z"},
			{"what":"surgeon","capability":"cardiothoracic_surgery","until":"2031-03-14T22:30:00Z"},
			{"what":"theatre","reason":"flooded"}]`)))
	require.Empty(t, faults)
	h, _ := list.Get("h")
	at := func(hour, minute int) time.Time { return time.Date(2031, 3, 14, hour, minute, 0, 0, time.UTC) } // a Friday
	presence := func(capability string, t time.Time) facilities.Attendance {
		p, _ := h.PresenceAt(capability, t)
		return p.Attendance
	}
	assert.Equal(t, facilities.Absent, presence("cardiothoracic_surgery", at(21, 40)))
	assert.Equal(t, facilities.Absent, presence("cardiothoracic_surgery", at(22, 59)))
	assert.Equal(t, facilities.Resident, presence("cardiothoracic_surgery", at(23, 0)))
	assert.Equal(t, facilities.Resident, presence("trauma_surgery", at(21, 40)))
	back, there := h.NextPresence("cardiothoracic_surgery", at(21, 40), func(p facilities.Presence) bool { return p.Attendance != facilities.Absent }, 2*time.Hour)
	assert.Equal(t, at(23, 0), back.UTC())
	assert.Equal(t, facilities.Resident, there.Attendance)
	none, _ := h.NextPresence("cardiothoracic_surgery", at(21, 40), func(facilities.Presence) bool { return true }, time.Hour)
	assert.Zero(t, none)
	none, _ = h.NextPresence("ecmo", at(21, 40), func(facilities.Presence) bool { return true }, time.Hour)
	assert.Zero(t, none)
	require.NotNil(t, h.TheatreAwayAt(at(0, 0)))
	assert.Equal(t, "flooded", h.TheatreAwayAt(at(23, 59)).Reason)
}
