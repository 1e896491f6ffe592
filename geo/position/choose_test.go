package position

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// No text is known that two of the real readers take for different places, so the
// rule that would refuse it is tried with readers made for it.
func TestChooseRefusesTwoMeanings(t *testing.T) {
	const source = "definition: exactly one meaning, or a refusal that names both"
	reads := func(format Format, p orb.Point) reader {
		return func(string) (Parsed, bool, error) { return Parsed{Format: format, Point: p}, true, nil }
	}
	other := func(string) (Parsed, bool, error) { return Parsed{}, false, nil }
	faulty := func(string) (Parsed, bool, error) { return Parsed{}, true, refuse("", "faulty") }
	here, there := orb.Point{-29.41, 45.52}, orb.Point{-29.41, 45.53}

	_, err := choose("x", []reader{other, reads(UTMGrid, here), reads(MGRS, there)})
	require.ErrorContains(t, err, "UTM", source)
	require.ErrorContains(t, err, "MGRS", source)

	got, err := choose("x", []reader{faulty, reads(UTMGrid, here), reads(MGRS, here)})
	require.NoError(t, err, "two formats that agree on the place")
	assert.Equal(t, Parsed{Format: UTMGrid, Point: here}, got)

	_, err = choose("x", []reader{other, faulty})
	assert.ErrorContains(t, err, "faulty")
}
