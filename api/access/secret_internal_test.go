package access

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestChecksumTellsMistypedTokens: a CRC-32 finds every wrong character and
// every two neighbours that have changed places. Source: a CRC of degree 32
// detects all bursts of up to 32 bits.
func TestChecksumTellsMistypedTokens(t *testing.T) {
	text, id := newSecret()
	got, err := idOf(text)
	require.NoError(t, err)
	require.Equal(t, id, got)
	for i := len(Prefix); i < len(text); i++ {
		for _, c := range "ab2z_A" {
			wrong := text[:i] + string(c) + text[i+1:]
			_, err := idOf(wrong)
			assert.Equal(t, wrong == text, err == nil, "%d %c", i, c)
		}
		if i+1 < len(text) && text[i] != text[i+1] {
			_, err := idOf(text[:i] + text[i+1:i+2] + text[i:i+1] + text[i+2:])
			assert.ErrorIs(t, err, errMistyped)
		}
		_, err := idOf(text[:i])
		assert.ErrorIs(t, err, errMistyped)
	}
	_, err = idOf("else")
	assert.ErrorIs(t, err, errNotOurs)
}

// FuzzToken: no text makes it panic, and only whole tokens are taken.
func FuzzToken(f *testing.F) {
	text, _ := newSecret()
	for _, seed := range []string{text, "", Prefix, Prefix + "_", text + "a", text[:40], Prefix + "\xff\xfe"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		id, err := idOf(text)
		if err == nil {
			assert.Regexp(t, `^[^_]`, id)
			assert.Len(t, text, textLength)
		}
	})
}
