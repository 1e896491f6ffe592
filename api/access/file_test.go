package access_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/access"
)

var now = time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)

func create(t *testing.T, file, name string, role access.Role, expires time.Time) (string, access.Token) {
	t.Helper()
	text, token, err := access.Create(file, name, role, expires, now)
	require.NoError(t, err)
	return text, token
}

// Source of what a token is: 256 random bits are 52 characters of base32 (RFC
// 4648, section 6), a CRC-32 is 7.
func TestTokenIsKeptHashed(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tokens.json")
	text, token := create(t, file, "north desk", access.Desk, now.Add(time.Hour))
	assert.Regexp(t, `^surgeonward_[a-z2-7]{8}_[a-z2-7]{59}$`, text)

	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	kept, err := os.ReadFile(file)
	require.NoError(t, err)
	secret := strings.TrimPrefix(text, "surgeonward_"+token.ID+"_")
	assert.NotContains(t, string(kept), secret[:12])
	assert.Regexp(t, regexp.MustCompile(`"sha256": "[0-9a-f]{64}"`), string(kept))

	list, err := access.ReadTokens(file)
	require.NoError(t, err)
	assert.Equal(t, []access.Token{token}, list)
	assert.NotContains(t, fmt.Sprintf("%+v", list), secret[:12])

	other, _ := create(t, file, "north desk", access.Desk, time.Time{})
	assert.NotEqual(t, text, other)
	entries, err := os.ReadDir(filepath.Dir(file))
	require.NoError(t, err)
	for _, e := range entries {
		assert.Contains(t, []string{"tokens.json", "tokens.json.lock"}, e.Name(), "nothing is left over")
	}
}

func TestTokenStates(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tokens.json")
	_, lasting := create(t, file, "a", access.Reader, time.Time{})
	_, ending := create(t, file, "b", access.Reader, now.Add(time.Hour))
	assert.Equal(t, access.Valid, lasting.State(now.AddDate(100, 0, 0)))
	assert.Equal(t, access.Valid, ending.State(now.Add(time.Hour-time.Second)))
	assert.Equal(t, access.Expired, ending.State(now.Add(time.Hour)))
	ended, err := access.Revoke(file, "a", now)
	require.NoError(t, err)
	require.Len(t, ended, 1)
	assert.Equal(t, access.Revoked, ended[0].State(now))
	_, err = access.Revoke(file, lasting.ID, now)
	assert.ErrorContains(t, err, "was revoked before")
	_, err = access.Revoke(file, "nobody", now)
	assert.ErrorContains(t, err, "no token has the id or name")
	_, err = access.Revoke(file+"x", "a", now)
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// TestRevokeByName ends every token of the name, and only those.
func TestRevokeByName(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tokens.json")
	create(t, file, "north desk", access.Desk, time.Time{})
	create(t, file, "south desk", access.Desk, time.Time{})
	text, _ := create(t, file, "north desk", access.Desk, time.Time{})
	_, err := access.Revoke(file, text, now)
	require.ErrorContains(t, err, "give its id")
	assert.NotContains(t, err.Error(), text)
	ended, err := access.Revoke(file, "north desk", now)
	require.NoError(t, err)
	assert.Len(t, ended, 2)
}

func TestCreateRefuses(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tokens.json")
	text, _ := create(t, file, "a", access.Admin, time.Time{})
	for _, name := range []string{"", " a", "a ", "local", "a\nb", "a:b", "<b>", "\u202ea", strings.Repeat("a", 65), text} {
		_, _, err := access.Create(file, name, access.Reader, time.Time{}, now)
		require.Error(t, err, name)
		assert.NotContains(t, err.Error(), text[30:])
	}
	for _, name := range []string{"a", "Ærlig Åse", "desk-2", "anna@north.example", "Dr. B.", strings.Repeat("a", 64)} {
		_, _, err := access.Create(file, name, access.Reader, time.Time{}, now)
		assert.NoError(t, err, name)
	}
	_, _, err := access.Create(file, "a", access.None, time.Time{}, now)
	assert.ErrorContains(t, err, "no role")
	_, _, err = access.Create(file, "a", access.Reader, now, now)
	assert.ErrorContains(t, err, "expired already")
}

// TestNoChangeIsLost: twenty at once, and every one is there.
func TestNoChangeIsLost(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tokens.json")
	var all sync.WaitGroup
	for i := range 20 {
		all.Go(func() {
			_, _, err := access.Create(file, fmt.Sprintf("desk %d", i), access.Desk, time.Time{}, now)
			assert.NoError(t, err)
		})
	}
	all.Wait()
	list, err := access.ReadTokens(file)
	require.NoError(t, err)
	assert.Len(t, list, 20)
}

func TestReadTokensRefuses(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tokens.json")
	text, _ := create(t, file, "a", access.Admin, time.Time{})
	good, err := os.ReadFile(file)
	require.NoError(t, err)
	var form struct{ Tokens []json.RawMessage }
	require.NoError(t, json.Unmarshal(good, &form))
	one := string(form.Tokens[0])
	for _, tt := range []struct{ name, content, says string }{
		{"empty", "", "not valid JSON"},
		{"cut", string(good[:len(good)/2]), "not valid JSON"},
		{"another file", `{"type":"FeatureCollection"}`, "wrong member"},
		{"a token by mistake", text, "not valid JSON"},
		{"a token in place of its hash", strings.Replace(string(good), `"sha256": "`, `"sha256": "`+text, 1), "64 hexadecimal"},
		{"a token in place of its id", strings.Replace(string(good), `"id": "`, `"id": "`+text, 1), "id: must be"},
		{"a token in place of a name", strings.Replace(string(good), `"name": "`, `"name": "`+text, 1), "name: must be"},
		{"a role of its own", strings.Replace(string(good), `"admin"`, `"root"`, 1), "role: must be"},
		{"twice", `{"tokens":[` + one + "," + one + `]}`, "given twice"},
		{"member twice", `{"tokens":[],"tokens":[` + one + `]}`, "not valid JSON"},
		{"every fault", `{"tokens":[{"id":"x","name":"","role":"root","sha256":"0"}]}`, "role: must be"},
		{"endless", `{"tokens":[` + strings.Repeat(" ", 5<<20) + `]}`, "longer than"},
		{"too many", `{"tokens":[` + strings.Repeat("{},", 10_000) + `{}]}`, "more than the 10000"},
	} {
		require.NoError(t, os.WriteFile(file, []byte(tt.content), 0o600))
		_, err := access.ReadTokens(file)
		require.ErrorContains(t, err, tt.says, tt.name)
		assert.NotContains(t, err.Error(), text[20:40], tt.name)
		_, _, err = access.Create(file, "b", access.Reader, time.Time{}, now)
		assert.Error(t, err, "%s: nothing is written over what cannot be read", tt.name)
	}
	require.NoError(t, os.WriteFile(file, good, 0o600))
	require.NoError(t, os.Chmod(file, 0o620))
	_, err = access.ReadTokens(file)
	assert.ErrorContains(t, err, "written by others")
	_, err = access.ReadTokens(t.TempDir())
	assert.ErrorContains(t, err, "not a file")
}

func TestGuardNeedsSomething(t *testing.T) {
	_, err := access.NewGuard(access.Config{})
	assert.Error(t, err)
	_, err = access.NewGuard(access.Config{Tokens: filepath.Join(t.TempDir(), "none")})
	assert.ErrorIs(t, err, os.ErrNotExist)
}
