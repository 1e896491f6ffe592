package wire

import (
	"strings"

	"surgeonward/facilities/strictjson"
)

// Fault is one thing wrong with a request: where, and what with the fix.
// Either Pointer or Parameter is given.
type Fault struct {
	Pointer   string `json:"pointer,omitempty"`   // JSON Pointer as a URI fragment: "#/scene/landing"; "#" is the body
	Parameter string `json:"parameter,omitempty"` // name of a query parameter
	File      string `json:"file,omitempty"`      // the region's file that Pointer leads into; empty: the body
	Element   string `json:"element,omitempty"`   // id of the facility, asset or road feature in that file
	Detail    string `json:"detail"`
}

// ErrorKind says what level of a request is wrong.
type ErrorKind int

// The kinds of request error.
const (
	Syntax  ErrorKind = iota // the body is no JSON text
	Content                  // the body is JSON, but no valid question
	Query                    // the query's parameters
)

// RequestError is everything wrong with a request that could be found without
// a region.
type RequestError struct {
	Kind   ErrorKind
	Faults []Fault
}

func (e *RequestError) Error() string {
	parts := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		parts[i] = f.Pointer + f.Parameter + ": " + f.Detail
	}
	return "the request has faults: " + strings.Join(parts, "; ")
}

// Pointers writes faults of a JSON document in the form an answer has them.
func Pointers(faults []strictjson.Fault) []Fault {
	out := make([]Fault, len(faults))
	for i, f := range faults {
		out[i] = Fault{Pointer: "#" + fragment(f.Pointer), Detail: f.Detail}
	}
	return out
}

// fragment percent-encodes a JSON Pointer for a URI fragment (RFC 6901,
// section 6; the characters are those RFC 3986 allows in a fragment).
func fragment(pointer string) string {
	const plain = "-._~!$&'()*+,;=:@/?"
	const hex = "0123456789ABCDEF"
	var b strings.Builder
	for i := range len(pointer) {
		c := pointer[i]
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', strings.IndexByte(plain, c) >= 0:
			b.WriteByte(c)
		default:
			b.WriteByte('%')
			b.WriteByte(hex[c>>4])
			b.WriteByte(hex[c&15])
		}
	}
	return b.String()
}
