package routing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A window file with anything missing or unknown is refused, whole.
func TestDecodeWindowsIsStrict(t *testing.T) {
	row := map[string]any{"id": DefaultWindow, "what": "w", "source": "s", "date": "2031", "mark": "read", "note": "n",
		"limit_s": 600, "at_limit": "inside"}
	out, err := decodeWindows(shippedFile(t, "windows", row))
	require.NoError(t, err)
	assert.Equal(t, []Window{{ID: DefaultWindow, What: "w", LimitS: 600, AtLimit: LimitInside, Source: "s", Date: "2031", Mark: "read", Note: "n"}}, out)
	for field := range row {
		_, err := decodeWindows(shippedFile(t, "windows", rowWithout(row, field)))
		assert.Error(t, err, "window without %s", field)
	}
	for name, change := range map[string]map[string]any{
		"unknown field":         {"limit": 600},
		"no time at all":        {"limit_s": 0},
		"longer than two days":  {"limit_s": 172_801},
		"unknown at the limit":  {"at_limit": "maybe"},
		"unknown mark":          {"mark": "certain"},
		"mark without a source": {"source": "assumption"},
		"not the default first": {"id": "other"},
	} {
		_, err := decodeWindows(shippedFile(t, "windows", rowWith(row, change)))
		assert.Error(t, err, name)
	}
	_, err = decodeWindows(shippedFile(t, "windows", row, row))
	assert.ErrorContains(t, err, "given twice")
	_, err = decodeWindows([]byte(`{"windows": [`))
	assert.Error(t, err, "cut short")
}
