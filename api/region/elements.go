package region

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"
)

// Element is one facility, asset or road feature as it stands in its file but
// for white space.
type Element struct {
	ID   string
	Text []byte
}

// elements are those of one file, in its order.
type elements struct {
	list []Element
	byID map[string]int
}

func (e *elements) text(id string) ([]byte, bool) {
	i, ok := e.byID[id]
	if !ok {
		return nil, false
	}
	return e.list[i].Text, true
}

// ArrayOf names the member of a region's file that holds its elements; empty
// for a file that has none.
func ArrayOf(file string) string {
	switch file {
	case FacilitiesFile, RoadsFile:
		return "features"
	case FleetFile:
		return "assets"
	}
	return ""
}

// Elements returns the elements of a file in its order. The texts are shared:
// do not change them.
func (r *Region) Elements(file string) []Element { return slices.Clone(r.elements[file].list) }

// Element returns one element of a file, false where there is none by that id.
func (r *Region) Element(file, id string) ([]byte, bool) {
	e := r.elements[file]
	text, ok := e.text(id)
	return slices.Clone(text), ok
}

// keep finds the elements of a document that has been checked.
func (r *Region) keep(file string, document []byte, report *Report) {
	found, err := split(document, ArrayOf(file))
	if err != nil {
		report.fault(file, "%s", err)
		return
	}
	if r.elements == nil {
		r.elements = map[string]elements{}
	}
	r.elements[file] = found
}

// split finds the members of one of a document's arrays.
func split(document []byte, array string) (elements, error) {
	var file map[string]json.RawMessage
	if err := json.Unmarshal(document, &file); err != nil {
		return elements{}, err
	}
	var members []json.RawMessage
	if err := json.Unmarshal(file[array], &members); err != nil {
		return elements{}, err
	}
	out := elements{list: make([]Element, 0, len(members)), byID: make(map[string]int, len(members))}
	for _, m := range members {
		var fields map[string]json.RawMessage // a struct would also take "ID" for "id"
		if err := json.Unmarshal(m, &fields); err != nil {
			return elements{}, err
		}
		var id string
		var compact bytes.Buffer
		if err := errors.Join(json.Unmarshal(fields["id"], &id), json.Compact(&compact, m)); err != nil {
			return elements{}, err
		}
		out.byID[id] = len(out.list)
		out.list = append(out.list, Element{ID: id, Text: compact.Bytes()})
	}
	return out, nil
}
