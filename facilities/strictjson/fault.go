package strictjson

import (
	"cmp"
	"slices"
	"strings"
)

// Fault is one thing wrong with a document.
type Fault struct {
	// Pointer is the JSON Pointer (RFC 6901) of the value at fault; "" is the whole
	// document. For an unknown field it is the field, for a missing field the object
	// that lacks it.
	Pointer string
	// Detail is one sentence: what, what is wrong with it, and the fix.
	Detail string
}

// Sort orders faults by pointer, then by detail, and drops repeats. Array
// positions compare as numbers, so that /2 comes before /10.
func Sort(faults []Fault) []Fault {
	slices.SortFunc(faults, func(a, b Fault) int {
		return cmp.Or(ComparePointers(a.Pointer, b.Pointer), strings.Compare(a.Detail, b.Detail))
	})
	return slices.Compact(faults)
}

// ComparePointers orders JSON Pointers token by token, a parent before what is in
// it, and array positions as numbers. The order is total.
func ComparePointers(a, b string) int {
	restA, restB := a, b
	for restA != "" && restB != "" {
		var tokA, tokB string
		tokA, restA = cutToken(restA)
		tokB, restB = cutToken(restB)
		if c := compareTokens(tokA, tokB); c != 0 {
			return c
		}
	}
	return cmp.Or(cmp.Compare(len(restA), len(restB)), strings.Compare(a, b))
}

func cutToken(pointer string) (token, rest string) {
	pointer = strings.TrimPrefix(pointer, "/")
	if i := strings.IndexByte(pointer, '/'); i >= 0 {
		return pointer[:i], pointer[i:]
	}
	return pointer, ""
}

func compareTokens(a, b string) int {
	numA, numB := isIndex(a), isIndex(b)
	switch {
	case numA && numB:
		return cmp.Or(cmp.Compare(len(a), len(b)), strings.Compare(a, b))
	case numA:
		return -1
	case numB:
		return 1
	}
	return strings.Compare(a, b)
}

// isIndex reports whether a token is an array position: digits without a leading zero.
func isIndex(token string) bool {
	if token == "" || (token[0] == '0' && token != "0") {
		return false
	}
	return strings.Trim(token, "0123456789") == ""
}

var pointerEscapes = strings.NewReplacer("~", "~0", "/", "~1")

// Pointer builds a JSON Pointer from its unescaped tokens.
func Pointer(tokens ...string) string {
	var b strings.Builder
	for _, t := range tokens {
		b.WriteByte('/')
		b.WriteString(pointerEscapes.Replace(t))
	}
	return b.String()
}
