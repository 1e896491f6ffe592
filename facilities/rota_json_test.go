package facilities_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
)

func TestDecodeHours(t *testing.T) {
	value, faults := strictjson.Parse([]byte(`{"hours": {"otherwise": {"state": "closed"},
	  "weekly": [{"days": ["fri"], "from": "20:00", "to": "04:00", "state": "open"},
	             {"days": ["sat"], "from": "03:00", "to": "05:00", "state": "closed"}],
	  "exceptions": [{"date": "2031-03-21", "state": "closed"}]}}`), strictjson.Limits{})
	require.Empty(t, faults)
	rota, warnings := facilities.DecodeHours(value, "/assets/7")
	require.NotNil(t, rota)
	assert.Equal(t, facilities.Rota[facilities.Opening]{
		Otherwise: facilities.Opening{State: "closed"},
		Weekly: []facilities.Window[facilities.Opening]{
			{Days: [7]bool{time.Friday: true}, FromMin: 20 * 60, ToMin: 4 * 60, Value: facilities.Opening{State: "open"}},
			{Days: [7]bool{time.Saturday: true}, FromMin: 3 * 60, ToMin: 5 * 60, Value: facilities.Opening{State: "closed"}},
		},
		Exceptions: []facilities.Exception[facilities.Opening]{
			{Year: 2031, Month: 3, Day: 21, FromMin: 0, ToMin: 1440, Value: facilities.Opening{State: "closed"}},
		},
	}, *rota, "definition: the facility schema's hours_rota")
	require.Len(t, warnings, 1, "Friday's window reaches into Saturday's")
	assert.Equal(t, "/assets/7/hours/weekly/1", warnings[0].Pointer)
	assert.Contains(t, warnings[0].Detail, "overlap those of entry 0")

	for _, nothing := range []any{nil, map[string]any{}, []any{}, "hours", 7.0} {
		rota, warnings := facilities.DecodeHours(nothing, "")
		assert.Nil(t, rota, "%v has no hours", nothing)
		assert.Empty(t, warnings)
	}
	for _, odd := range []any{nil, 1.0, "always", []any{1.0}, map[string]any{"weekly": 1.0, "exceptions": []any{nil, "x"}}} {
		assert.NotPanics(t, func() { facilities.DecodeHours(map[string]any{"hours": odd}, "") }, "%v", odd)
	}
}
