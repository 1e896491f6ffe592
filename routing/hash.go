package routing

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
)

// contentHash is the SHA-256 of the value's JSON in hexadecimal. Structs are
// written in the order of their fields and maps in the order of their keys, so
// that equal values have equal hashes. A value that JSON cannot hold, such as
// NaN, gives the empty string.
func contentHash(value any) string {
	text, err := json.Marshal(value)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}
