package sealed_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/disk/sealed"
)

const thing sealed.Form = "thing"

func TestLine(t *testing.T) {
	line := thing.End(append(thing.Begin(3), `{"a":1},"b":2`...))
	assert.Regexp(t, `^\{"format":1,"crc32c":"[0-9a-f]{8}","thing":\{"a":1\},"b":2\}\n$`, string(line))
	body, err := thing.Open(bytes.TrimSuffix(line, []byte("\n")))
	require.NoError(t, err)
	assert.Equal(t, `{"a":1},"b":2`, string(body))
}

// Source: the check value of CRC-32C in catalogues of checksums, from memory.
func TestSum(t *testing.T) {
	assert.Equal(t, "e3069283", sealed.Sum([]byte("123456789")))
}

// Whichever bit of a line is turned over, and wherever it is cut, it is not
// taken for a line. Source: a CRC finds every error of one bit.
func TestDamage(t *testing.T) {
	line := bytes.TrimSuffix(thing.End(append(thing.Begin(0), `{"a":[1,2,3]}`...)), []byte("\n"))
	for i := range line {
		for bit := range 8 {
			wrong := bytes.Clone(line)
			wrong[i] ^= 1 << bit
			_, err := thing.Open(wrong)
			require.Error(t, err, "%q", wrong)
		}
		_, err := thing.Open(line[:i])
		require.Error(t, err, "%q", line[:i])
	}
	for _, tt := range []struct{ name, line, want string }{
		{"empty", "", "does not begin as a thing does"},
		{"a later format", `{"format":2,"crc32c":"00000000","thing":1}`, "is of another format than 1"},
		{"another sum", `{"format":1,"crc32c":"00000000","thing":1}`, "does not match its checksum"},
		{"another form", string(bytes.TrimSuffix(sealed.Form("record").End(append(sealed.Form("record").Begin(0), '1')), []byte("\n"))), "holds no thing"},
	} {
		_, err := thing.Open([]byte(tt.line))
		require.Error(t, err, tt.name)
		assert.Contains(t, err.Error(), tt.want, tt.name)
	}
}
