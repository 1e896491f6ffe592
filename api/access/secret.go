package access

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base32"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"regexp"
	"strings"
)

// Prefix is what every token's text begins with, so that people, logs and
// scanners for leaked secrets know one when they see it.
const Prefix = "surgeonward_"

// A token's text is Prefix, the id under which it is kept, "_", 256 random
// bits, and a CRC-32 of all that in front of it. The checksum only tells a
// mistyped or cut token from one that is unknown; it protects nothing.
const (
	idBytes     = 5  // enough to tell tokens apart, no secret
	secretBytes = 32 // 256 bits

	// In characters of base32, of 5 bits each.
	idLength     = 8
	secretLength = 52
	checkLength  = 7
	textLength   = len(Prefix) + idLength + 1 + secretLength + checkLength
)

var base32Text = base32.NewEncoding("abcdefghijklmnopqrstuvwxyz234567").WithPadding(base32.NoPadding)

// looksLike finds what looks like one of our tokens within another text.
var looksLike = regexp.MustCompile(Prefix + `[a-z2-7]{8}_[a-z2-7]{16}`)

// newSecret makes a token's text and its id.
func newSecret() (text, id string) {
	random := make([]byte, idBytes+secretBytes)
	_, _ = rand.Read(random) // never fails: it ends the program instead
	id = base32Text.EncodeToString(random[:idBytes])
	text = Prefix + id + "_" + base32Text.EncodeToString(random[idBytes:])
	return text + checksum(text), id
}

func checksum(text string) string {
	return base32Text.EncodeToString(binary.BigEndian.AppendUint32(nil, crc32.ChecksumIEEE([]byte(text))))
}

var (
	errNotOurs  = errors.New("not one of our tokens")
	errMistyped = errors.New("the token is mistyped or cut short: its checksum does not hold")
)

// idOf reads the id out of a token's text and checks that the text is whole.
func idOf(text string) (string, error) {
	rest, ours := strings.CutPrefix(text, Prefix)
	switch {
	case !ours:
		return "", errNotOurs
	case len(text) != textLength || rest[idLength] != '_' || checksum(text[:textLength-checkLength]) != text[textLength-checkLength:]:
		return "", errMistyped
	}
	return rest[:idLength], nil
}

// hash is what is kept of a token: SHA-256. A slow hash with salt is for words
// that people choose and that can be guessed; 256 random bits cannot, and a
// fast hash keeps the check of each request cheap.
func hash(text string) [sha256.Size]byte { return sha256.Sum256([]byte(text)) }
