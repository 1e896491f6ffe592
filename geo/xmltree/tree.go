package xmltree

import (
	"encoding/xml"
	"strings"
)

// Element is one element with what is directly in it. The methods may be called on
// a nil Element, which has nothing in it, so that paths need no checks on the way.
type Element struct {
	Name     xml.Name
	Attrs    []xml.Attr
	Text     string // its own character data, without that of its children, trimmed
	Line     int    // where it begins, from 1
	Children []*Element
}

// Is reports whether the element has the namespace and the local name.
func (e *Element) Is(space, local string) bool {
	return e != nil && e.Name.Space == space && e.Name.Local == local
}

// Child returns the first child with the name, nil where there is none.
func (e *Element) Child(space, local string) *Element {
	if e != nil {
		for _, c := range e.Children {
			if c.Is(space, local) {
				return c
			}
		}
	}
	return nil
}

// All returns the children with the name, in order.
func (e *Element) All(space, local string) []*Element {
	var found []*Element
	if e != nil {
		for _, c := range e.Children {
			if c.Is(space, local) {
				found = append(found, c)
			}
		}
	}
	return found
}

// Attr returns the value of an attribute and whether it is there. Attributes without
// a prefix have no namespace, whatever that of their element.
func (e *Element) Attr(space, local string) (string, bool) {
	if e != nil {
		for _, a := range e.Attrs {
			if a.Name.Space == space && a.Name.Local == local {
				return strings.TrimSpace(a.Value), true
			}
		}
	}
	return "", false
}

// Content returns the text of the element, "" where it is nil.
func (e *Element) Content() string {
	if e == nil {
		return ""
	}
	return e.Text
}

// Walk calls visit with the element and everything below it, parents first, until
// visit returns false for an element: what is in that one is then passed over.
func (e *Element) Walk(visit func(*Element) bool) {
	if e == nil || !visit(e) {
		return
	}
	for _, c := range e.Children {
		c.Walk(visit)
	}
}
