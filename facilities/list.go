package facilities

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// List is an immutable snapshot of a region's facilities. It is safe for concurrent
// use. The facilities it hands out are shared: do not change them.
type List struct {
	document []byte
	hash     string
	all      []*Facility // by id
	byID     map[string]*Facility
	byKind   map[Kind][]*Facility // each by id
}

func newList(document []byte, all []*Facility) *List {
	l := &List{
		document: bytes.Clone(document),
		hash:     hash(document),
		all:      all,
		byID:     make(map[string]*Facility, len(all)),
		byKind:   map[Kind][]*Facility{},
	}
	slices.SortFunc(l.all, func(a, b *Facility) int { return strings.Compare(a.ID, b.ID) })
	for _, f := range l.all {
		l.byID[f.ID] = f
		l.byKind[f.Kind] = append(l.byKind[f.Kind], f)
	}
	return l
}

// All returns every facility in the order of their ids.
func (l *List) All() []*Facility { return slices.Clone(l.all) }

// Len returns how many facilities there are.
func (l *List) Len() int { return len(l.all) }

// Get returns the facility with the id.
func (l *List) Get(id string) (*Facility, bool) {
	f, ok := l.byID[id]
	return f, ok
}

// OfKind returns the facilities of one kind in the order of their ids.
func (l *List) OfKind(kind Kind) []*Facility { return slices.Clone(l.byKind[kind]) }

// Hash identifies the content: the SHA-256, in lower-case hexadecimal, of the whole
// document, foreign members included, in the canonical form of RFC 8785. White space,
// the order of members and the way a number or a string is written do not count; the
// order of the features does. Departing from RFC 8785, whole numbers beyond 2^53 keep
// all their digits, so that a change in one of them shows.
func (l *List) Hash() string { return l.hash }

// Encode returns the document, byte for byte as it was decoded: foreign members, the
// order of members, white space and the text of numbers are all kept.
func (l *List) Encode() []byte { return bytes.Clone(l.document) }

func hash(document []byte) string {
	canonical := jsontext.Value(bytes.Clone(document))
	if err := canonical.Canonicalize(jsontext.CanonicalizeRawInts(false)); err != nil {
		canonical = document // cannot happen after decoding; the bytes identify it too
	}
	sum := sha256.Sum256(canonical)
	return hex.EncodeToString(sum[:])
}
