package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLayOutKeepsTheValueAndTheOrder(t *testing.T) {
	const source = "definition: the order of the members is the order of writing"
	long := make([]string, 30)
	for i := range long {
		long[i] = `a "quoted" word, with: marks`
	}
	value := object{{"z", 1}, {"a", object{{"list", long}, {"none", []string{}}}}, {"m", [][]float64{{1.5, -2}, {3, 4}}}}
	want, err := value.MarshalJSON()
	require.NoError(t, err)
	got, err := layOut(value)
	require.NoError(t, err)
	assert.JSONEq(t, string(want), string(got), source)
	assert.Regexp(t, `(?s)^\{\n  "z": 1,\n  "a": \{.*"none": \[\]\n  \},\n  "m": \[\[1.5, -2\], \[3, 4\]\]\n\}\n$`, string(got))
}
