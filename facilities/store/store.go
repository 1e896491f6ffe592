package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"time"
)

// Store keeps a region's files and every version they ever had. It is safe for
// concurrent use, also by several processes.
type Store interface {
	// Current returns the newest version, whole.
	Current(ctx context.Context) (*Version, error)

	// At returns the version with the number, whole. An error wraps ErrNotFound
	// where there is none, ErrDamaged where it cannot be read any more.
	At(ctx context.Context, number int64) (*Version, error)

	// Commit replaces some files in one step and returns the version that this
	// made, once it is safe. A *ConflictError says that an edit's base is not the
	// newest version any more: nothing was changed. An error wraps ErrUnchanged
	// where the files have that content already, and ErrUnsure beside ErrUnavailable
	// where it may be kept all the same.
	Commit(ctx context.Context, e Edit) (*Version, error)

	// History returns up to most entries, the newest first, whose numbers are
	// below before; before 0 begins with the newest.
	History(ctx context.Context, before int64, most int) ([]Entry, error)

	// Using returns the numbers of the versions, ascending, in which a file has the
	// content with the hash.
	Using(ctx context.Context, content Hash) ([]int64, error)

	// Follow calls seen with the number of each version after since, in order and
	// without gaps, whoever made it, until ctx ends or seen returns an error, which
	// it returns. Numbers come within a second of the commit. An error wraps
	// ErrUnavailable as soon as nobody can tell any more what is newest: call it
	// again, with the last number seen.
	Follow(ctx context.Context, since int64, seen func(number int64) error) error

	// Rejected says what is wrong with files that were changed by hand and cannot
	// be used, while Current returns what was there before; nil where all is well.
	Rejected() []Fault

	// Close gives back what the store holds.
	Close() error
}

// Edit is a change of one or more files.
type Edit struct {
	Base  int64             // number of the version that the edit was made from
	Files map[string][]byte // new content by name; nil removes the file
	Entry                   // Who, Why and What; the store sets Number and At
}

// Entry is what history says of a version.
type Entry struct {
	Number int64     // running number, from 1, without gaps
	At     time.Time // UTC, when it was made
	Who    string    // name of the token, "expiry" or "file" (an editor in the folder); up to MaxText runes
	Why    string    // a reason in the editor's words; may be empty; up to MaxText runes
	What   []Change  // up to MaxChanges; what else there was is counted in More
	More   int

	Files []File // all files of the version, by name
}

// Change is one element that a version changed.
type Change struct {
	Action  string `json:"action"`            // create, replace, change, delete, import, restore, expire, accept, divert ...
	File    string `json:"file"`              // name of the region's file
	Element string `json:"element,omitempty"` // id of the facility, asset or road feature; empty: the file as a whole
	Before  []byte `json:"before,omitempty"`  // the element as it stood in the file; nil: it was not there
	After   []byte `json:"after,omitempty"`   // as it stands now; nil: it is gone
}

// File is a file of a version by its content.
type File struct {
	Name string `json:"name"`
	Hash Hash   `json:"sha256"`
	Size int64  `json:"size"`
}

// Version is a region's files as they stood together.
type Version struct {
	Entry
	Content map[string][]byte // by name; must not be changed
}

// Fault is one thing wrong in a region's file.
type Fault struct {
	File    string `json:"file"`              // empty: all of them, as when their folder is not there
	Element string `json:"element,omitempty"` // id of the feature or asset, where one is concerned
	Pointer string `json:"pointer,omitempty"` // JSON Pointer (RFC 6901) into the file; empty: the file as a whole
	Detail  string `json:"detail"`            // one sentence: what is wrong, and the fix
}

// Checker says what is wrong with files taken together; none: they can be used.
type Checker func(files map[string][]byte) []Fault

// The limits on an edit.
const (
	MaxText    = 300      // runes in Who and in Why
	MaxChanges = 50       // elements named in an entry
	MaxFile    = 64 << 20 // bytes of one file
)

// Hash is the SHA-256 of a file's bytes.
type Hash [sha256.Size]byte

// Sum returns the hash of content.
func Sum(content []byte) Hash { return sha256.Sum256(content) }

// String returns the hash in lower-case hexadecimal.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// MarshalText returns the hash in lower-case hexadecimal.
func (h Hash) MarshalText() ([]byte, error) { return []byte(h.String()), nil }

// UnmarshalText reads 64 hexadecimal digits.
func (h *Hash) UnmarshalText(text []byte) error {
	if hex.DecodedLen(len(text)) != len(h) {
		return fmt.Errorf("a hash has %d hexadecimal digits, not %d", hex.EncodedLen(len(h)), len(text))
	}
	_, err := hex.Decode(h[:], text)
	return err
}

// The reasons a store refuses.
var (
	ErrNotFound    = errors.New("there is no such version")
	ErrDamaged     = errors.New("what is kept of the version is damaged: restore a backup") // it stays so
	ErrUnchanged   = errors.New("the files have this content already")
	ErrUnavailable = errors.New("the store cannot be reached now")             // try again later; Current may still answer from memory
	ErrUnsure      = errors.New("whether the edit is kept cannot be told now") // beside ErrUnavailable: read again before it is repeated
	ErrReadOnly    = errors.New("the store can be read but not written")
)

// ConflictError says that somebody else changed the region since the base of an
// edit.
type ConflictError struct{ Base, Newest int64 }

func (e *ConflictError) Error() string {
	return fmt.Sprintf("the edit was made from version %d, but %d is the newest by now", e.Base, e.Newest)
}
