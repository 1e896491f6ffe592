package access

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"time"
)

// Token is what is kept of a token: everything but its text.
type Token struct {
	ID      string
	Name    string // who holds it
	Role    Role
	Created time.Time
	Expires time.Time // zero: never
	Revoked time.Time // zero: not

	hash [sha256.Size]byte
}

// The states of a token.
const (
	Valid   = "valid"
	Expired = "expired"
	Revoked = "revoked"
)

// State is the token's state at a time.
func (t Token) State(now time.Time) string {
	switch {
	case !t.Revoked.IsZero():
		return Revoked
	case !t.Expires.IsZero() && !now.Before(t.Expires):
		return Expired
	}
	return Valid
}

// kept is a token's form in the file.
type kept struct {
	ID      string    `json:"id"`
	Name    string    `json:"name"`
	Role    string    `json:"role"`
	SHA256  string    `json:"sha256"`
	Created time.Time `json:"created_at"`
	Expires time.Time `json:"expires_at,omitzero"`
	Revoked time.Time `json:"revoked_at,omitzero"`
}

func (t Token) kept() kept {
	return kept{t.ID, t.Name, t.Role.String(), hex.EncodeToString(t.hash[:]), t.Created, t.Expires, t.Revoked}
}

var idForm = regexp.MustCompile(`^[a-z2-7]{8}$`)

// token checks the form of a token in the file, with all its faults.
func (k kept) token() (Token, error) {
	var faults []error
	// Nothing that stands here is quoted: a token may have been put in by mistake.
	if !idForm.MatchString(k.ID) {
		faults = append(faults, errors.New("id: must be 8 characters of a-z and 2-7"))
	}
	if CheckName(k.Name) != nil {
		faults = append(faults, errors.New("name: must be 1 to 64 letters, digits, spaces and any of . _ @ -"))
	}
	role, err := ParseRole(k.Role)
	if err != nil {
		faults = append(faults, errors.New("role: must be one of reader, desk, editor, admin"))
	}
	t := Token{ID: k.ID, Name: k.Name, Role: role, Created: k.Created, Expires: k.Expires, Revoked: k.Revoked}
	sum, err := hex.DecodeString(k.SHA256)
	if err != nil || copy(t.hash[:], sum) != sha256.Size || len(sum) != sha256.Size {
		faults = append(faults, errors.New("sha256: must be 64 hexadecimal digits"))
	}
	return t, errors.Join(faults...)
}

// nameForm leaves no character that a log, a screen or a header could take for
// something else, and no colon: names from an identity provider have one.
var nameForm = regexp.MustCompile(`^[\p{L}\p{N}](?:[\p{L}\p{N} ._@-]{0,62}[\p{L}\p{N}.])?$`)

// CheckName says what is wrong with the name of a token's holder.
func CheckName(name string) error {
	switch {
	case looksLike.MatchString(name):
		return errors.New("name: that is a token, not a name: revoke it")
	case name == Local.Name:
		return fmt.Errorf("name: %q stands for whoever asks where there is no access control: choose another", name)
	case !nameForm.MatchString(name):
		return fmt.Errorf("name %q: use 1 to 64 letters, digits, spaces and any of . _ @ -, with a letter or digit at both ends", name)
	}
	return nil
}
