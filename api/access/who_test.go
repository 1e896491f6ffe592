package access_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"surgeonward/api/access"
)

var roles = []access.Role{access.None, access.Reader, access.Desk, access.Editor, access.Admin}

// Source: definition; each role may do all that those before it may.
func TestRolesAreInOrder(t *testing.T) {
	for i, has := range roles {
		for j, need := range roles {
			assert.Equal(t, i >= j, has.Allows(need), "%s where %s is needed", has, need)
		}
	}
}

func TestRoleWords(t *testing.T) {
	for _, role := range roles[1:] {
		got, err := access.ParseRole(role.String())
		assert.NoError(t, err)
		assert.Equal(t, role, got)
	}
	for _, word := range []string{"", "none", "Admin", "admin ", "root", "4"} {
		got, err := access.ParseRole(word)
		assert.ErrorContains(t, err, "reader, desk, editor, admin", word)
		assert.Equal(t, access.None, got)
	}
	assert.Equal(t, "role 9", access.Role(9).String())
}

func TestContextCarriesWho(t *testing.T) {
	assert.Equal(t, access.Who{}, access.From(t.Context()), "nobody, who may do nothing")
	assert.False(t, access.From(t.Context()).Role.Allows(access.Reader))
	who := access.Who{Name: "north desk", Role: access.Desk}
	assert.Equal(t, who, access.From(access.With(t.Context(), who)))
}
