package routing

import (
	"encoding/json"
	"maps"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A parameter file with anything missing or unknown is refused, whole.
func TestDecodeShippedIsStrict(t *testing.T) {
	origin := map[string]any{"id": "carry", "what": "w", "source": "s", "date": "2031", "mark": "read", "note": "n"}
	allowance := rowWith(origin, map[string]any{"typical_s": 1, "slow_s": 2, "slow_mark": "assumption"})
	parameter := rowWith(origin, map[string]any{"value": 1, "unit": "m"})

	_, err := decodeAllowances(shippedFile(t, "allowances", allowance))
	require.NoError(t, err)
	_, err = decodeParameters(shippedFile(t, "parameters", parameter))
	require.NoError(t, err)

	for field := range allowance {
		_, err := decodeAllowances(shippedFile(t, "allowances", rowWithout(allowance, field)))
		assert.Error(t, err, "allowance without %s", field)
	}
	for field := range parameter {
		_, err := decodeParameters(shippedFile(t, "parameters", rowWithout(parameter, field)))
		assert.Error(t, err, "parameter without %s", field)
	}
	for name, c := range map[string]struct {
		change map[string]any
		says   string
	}{
		"unknown field":         {map[string]any{"typical": 1}, "unknown field"},
		"slow before typical":   {map[string]any{"typical_s": 3}, "not a duration"},
		"negative":              {map[string]any{"typical_s": -3}, "not a duration"},
		"unknown mark":          {map[string]any{"mark": "certain"}, `unknown mark "certain"`},
		"mark without a source": {map[string]any{"source": "assumption"}, `mark "read" without a source`},
	} {
		_, err := decodeAllowances(shippedFile(t, "allowances", rowWith(allowance, c.change)))
		assert.ErrorContains(t, err, c.says, name)
	}
	_, err = decodeAllowances(shippedFile(t, "allowances", allowance, allowance))
	assert.ErrorContains(t, err, "given twice")
	_, err = decodeParameters(shippedFile(t, "parameters", parameter, parameter))
	assert.ErrorContains(t, err, "given twice")
	_, err = decodeParameters(shippedFile(t, "parameters", rowWith(parameter, map[string]any{"values": 1})))
	assert.ErrorContains(t, err, "unknown field")
	_, err = decodeAllowances([]byte(`{"allowances": [`))
	assert.Error(t, err, "cut short")
}

func rowWith(base, change map[string]any) map[string]any {
	out := maps.Clone(base)
	maps.Copy(out, change)
	return out
}

func rowWithout(base map[string]any, field string) map[string]any {
	out := maps.Clone(base)
	delete(out, field)
	return out
}

func shippedFile(t *testing.T, name string, rows ...map[string]any) []byte {
	t.Helper()
	data, err := json.Marshal(map[string]any{name: rows})
	require.NoError(t, err)
	return data
}
