package record

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// Hash is the SHA-256 of some content.
type Hash [sha256.Size]byte

// Sum returns the hash of content.
func Sum(content []byte) Hash { return sha256.Sum256(content) }

// ParseHash reads 64 hexadecimal digits.
func ParseHash(text string) (Hash, error) {
	var h Hash
	if len(text) != hex.EncodedLen(len(h)) {
		return Hash{}, fmt.Errorf("hash %.70q has %d characters, a SHA-256 has 64", text, len(text))
	}
	if _, err := hex.Decode(h[:], []byte(text)); err != nil {
		return Hash{}, fmt.Errorf("hash %.70q has a character that is no hexadecimal digit", text)
	}
	return h, nil
}

// String writes the hash in small hexadecimal digits.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// MarshalText is String.
func (h Hash) MarshalText() ([]byte, error) { return []byte(h.String()), nil }

// UnmarshalText is ParseHash.
func (h *Hash) UnmarshalText(text []byte) (err error) {
	*h, err = ParseHash(string(text))
	return err
}
