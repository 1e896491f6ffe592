package document

import (
	"strconv"

	"surgeonward/facilities/strictjson"
)

// ValueChange is one value that differs between two texts of an element.
type ValueChange struct {
	Pointer       string // JSON Pointer (RFC 6901) into the element
	Before, After []byte // as it stands in the texts; nil: it is not there
}

// ValueChanges lists the values that differ between two texts of an element, in
// the order of the text before, then what is only in the one after. Members are
// compared by name and items by position; arrays of other lengths differ as a whole. A
// text that is nil, or no JSON text, differs as a whole from every other.
func ValueChanges(before, after []byte) []ValueChange {
	if before == nil || after == nil || valid(before) != nil || valid(after) != nil {
		if string(before) == string(after) {
			return nil
		}
		return []ValueChange{{Before: before, After: after}}
	}
	return valueChanges(nil, nil, grow(before, 0), 0, grow(after, 0), 0)
}

func valueChanges(out []ValueChange, at []string, a *tree, i int, b *tree, j int) []ValueChange {
	if equal(a, i, b, j) {
		return out
	}
	at = at[:len(at):len(at)] // what is appended for one child must not show in another
	kind := a.nodes[i].kind
	x, y := a.below(i), b.below(j)
	switch {
	case kind == '{' && b.nodes[j].kind == kind:
		had, has := a.named(i), b.named(j)
		for _, c := range x {
			name := a.nodes[c].name
			if d, there := has[name]; there {
				out = valueChanges(out, append(at, name), a, c, b, d)
			} else {
				out = append(out, ValueChange{Pointer: strictjson.Pointer(append(at, name)...), Before: a.raw(c)})
			}
		}
		for _, d := range y {
			if name := b.nodes[d].name; !hasKey(had, name) {
				out = append(out, ValueChange{Pointer: strictjson.Pointer(append(at, name)...), After: b.raw(d)})
			}
		}
		return out
	case kind == '[' && b.nodes[j].kind == kind && len(x) == len(y):
		for k := range x {
			out = valueChanges(out, append(at, strconv.Itoa(k)), a, x[k], b, y[k])
		}
		return out
	}
	return append(out, ValueChange{Pointer: strictjson.Pointer(at...), Before: a.raw(i), After: b.raw(j)})
}

func hasKey(names map[string]int, name string) bool {
	_, ok := names[name]
	return ok
}
