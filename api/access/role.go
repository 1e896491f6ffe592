package access

import (
	"fmt"
	"slices"
	"strings"
)

// Role says what a caller may do. Roles are in order: each may do all that
// those before it may. The zero value may do nothing.
type Role int

// The roles. Their words are those of token files, claims and the OpenAPI
// document.
const (
	None   Role = iota // nobody who is known
	Reader             // ask questions, read the region
	Desk               // also change states: accepting, closed, away, where a vehicle is
	Editor             // also change the lists: facilities, assets, roads
	Admin              // everything
)

var roleWords = []string{None: "none", Reader: "reader", Desk: "desk", Editor: "editor", Admin: "admin"}

// Allows reports whether the role is enough where need is demanded.
func (r Role) Allows(need Role) bool { return r >= need }

// String is the role's word.
func (r Role) String() string {
	if r < None || r > Admin {
		return fmt.Sprintf("role %d", int(r))
	}
	return roleWords[r]
}

// ParseRole reads a role's word. None is no role that anybody can be given.
func ParseRole(word string) (Role, error) {
	if i := slices.Index(roleWords, word); i > 0 {
		return Role(i), nil
	}
	return None, fmt.Errorf("there is no role %q: use one of %s", word, strings.Join(roleWords[1:], ", "))
}
