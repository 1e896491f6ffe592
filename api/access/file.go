package access

import (
	"crypto/subtle"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// The bounds of a token file.
const (
	maxFile   = 4 << 20 // bytes
	maxTokens = 10_000
)

// fileForm is the file: plain JSON, which says nothing that lets anybody in.
type fileForm struct {
	Tokens []kept `json:"tokens"`
}

// ReadTokens reads a token file with every fault in it. It refuses a file that
// others may write: who can write it can let themselves in.
func ReadTokens(path string) ([]Token, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is not a file", path)
	}
	if err := guardedMode(path, info); err != nil {
		return nil, err
	}
	text, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err != nil {
		return nil, err
	}
	if len(text) > maxFile {
		return nil, fmt.Errorf("%s is longer than %d bytes: no token file is", path, maxFile)
	}
	tokens, err := decodeTokens(text)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return tokens, nil
}

func decodeTokens(text []byte) ([]Token, error) {
	var form fileForm
	if err := json.Unmarshal(text, &form, json.RejectUnknownMembers(true)); err != nil {
		var syntax *jsontext.SyntacticError
		var semantic *json.SemanticError
		switch { // without what stands there: it may be a token put in by mistake
		case errors.As(err, &syntax):
			return nil, fmt.Errorf("not valid JSON at byte %d", syntax.ByteOffset)
		case errors.As(err, &semantic):
			return nil, fmt.Errorf("not a token file: wrong member or value at %q, byte %d", string(semantic.JSONPointer), semantic.ByteOffset)
		}
		return nil, errors.New("not valid JSON")
	}
	if len(form.Tokens) > maxTokens {
		return nil, fmt.Errorf("%d tokens are more than the %d that fit: take out those that are long revoked", len(form.Tokens), maxTokens)
	}
	tokens := make([]Token, len(form.Tokens))
	seen := map[string]bool{}
	var faults []error
	for i, k := range form.Tokens {
		t, err := k.token()
		if err == nil && seen[t.ID] {
			err = fmt.Errorf("id %q is given twice", t.ID)
		}
		if err != nil {
			faults = append(faults, fmt.Errorf("token %d: %w", i+1, err))
		}
		seen[t.ID] = true
		tokens[i] = t
	}
	return tokens, errors.Join(faults...)
}

// Create adds a token to the file, which it makes if there is none, and returns
// the token's text: it is kept nowhere and cannot be shown again. A zero
// expires is never.
func Create(path, name string, role Role, expires, now time.Time) (string, Token, error) {
	if err := CheckName(name); err != nil {
		return "", Token{}, err
	}
	if _, err := ParseRole(role.String()); err != nil {
		return "", Token{}, err
	}
	if !expires.IsZero() && !expires.After(now) {
		return "", Token{}, errors.New("the token would have expired already: give a time to come")
	}
	text, id := newSecret()
	t := Token{ID: id, Name: name, Role: role, Created: stampTime(now), Expires: stampTime(expires), hash: hash(text)}
	err := change(path, func(tokens []Token) ([]Token, error) {
		if len(tokens) >= maxTokens {
			return nil, fmt.Errorf("%s has %d tokens already: take out those that are long revoked", path, len(tokens))
		}
		if slices.ContainsFunc(tokens, func(other Token) bool { return other.ID == id }) {
			return nil, errors.New("the new token's id is taken already: try again")
		}
		return append(tokens, t), nil
	})
	if err != nil {
		return "", Token{}, err
	}
	return text, t, nil
}

// Revoke ends a token by its id, or all tokens of a name, and returns those it
// ended.
func Revoke(path, idOrName string, now time.Time) (ended []Token, err error) {
	if _, err = os.Stat(path); err != nil {
		return nil, err
	}
	err = change(path, func(tokens []Token) ([]Token, error) {
		known := false
		for i := range tokens {
			if t := &tokens[i]; t.ID == idOrName || t.Name == idOrName {
				known = true
				if t.Revoked.IsZero() {
					t.Revoked = stampTime(now)
					ended = append(ended, *t)
				}
			}
		}
		switch {
		case !known && looksLike.MatchString(idOrName):
			return nil, errors.New("that is a token's text: give its id, the 8 characters after " + Prefix)
		case !known:
			return nil, fmt.Errorf("no token has the id or name %q: surgeonward token list shows them", idOrName)
		case len(ended) == 0:
			return nil, fmt.Errorf("%q was revoked before", idOrName)
		}
		return tokens, nil
	})
	if err != nil {
		return nil, err
	}
	return ended, nil
}

// stampTime is a time as the file keeps it: UTC, whole seconds.
func stampTime(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return t.UTC().Truncate(time.Second)
}

// change reads, changes and replaces the file while nobody else does.
func change(path string, edit func([]Token) ([]Token, error)) (err error) {
	if target, noLink := filepath.EvalSymlinks(path); noLink == nil {
		path = target // a link stays a link
	}
	unlock, err := lock(path + ".lock")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, unlock()) }()
	tokens, err := ReadTokens(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	tokens, err = edit(tokens)
	if err != nil {
		return err
	}
	form := fileForm{Tokens: []kept{}}
	for _, t := range tokens {
		form.Tokens = append(form.Tokens, t.kept())
	}
	text, err := json.Marshal(form, jsontext.WithIndent("  "))
	if err != nil {
		return err
	}
	return replace(path, append(text, '\n'))
}

// replace puts a new file in the place of the old one at once, so that there
// is never half a file, nor one that others can read.
func replace(path string, text []byte) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".tokens-*") // with mode 0600
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(f.Name()))
		}
	}()
	_, err = f.Write(text)
	if err == nil {
		err = giveTo(f, path)
	}
	if err == nil {
		err = f.Sync()
	}
	err = errors.Join(err, f.Close())
	if err != nil {
		return err
	}
	if err = os.Rename(f.Name(), path); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// find is the token of a text. Only the id, which is no secret, decides which
// is looked at; the hashes are compared in constant time.
func find(tokens map[string]Token, text, id string) (Token, bool) {
	t, ok := tokens[id]
	sum := hash(text)
	return t, subtle.ConstantTimeCompare(sum[:], t.hash[:]) == 1 && ok
}
