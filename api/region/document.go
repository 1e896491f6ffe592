package region

import (
	"bytes"
	"encoding/json"
	"slices"

	"surgeonward/facilities/document"
	"surgeonward/facilities/store"
)

// Find returns an element of a file, without white space as it is served and
// verbatim as it stands there; nil where there is none.
func Find(file string, content []byte, id string) (text, verbatim []byte, err error) {
	if content == nil {
		return nil, nil, nil
	}
	f, err := document.Read(content, ArrayOf(file))
	if err != nil {
		return nil, nil, err
	}
	verbatim, ok := f.Get(id)
	if !ok {
		return nil, nil, nil
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, verbatim); err != nil {
		return nil, nil, err
	}
	return compact.Bytes(), verbatim, nil
}

// Put returns a file with an element put in the place of the one with its id,
// or added. A file that is not there yet is made.
func Put(file string, content []byte, id string, element []byte) ([]byte, error) {
	if content == nil {
		content = document.New()
	}
	f, err := document.Read(content, ArrayOf(file))
	if err != nil {
		return nil, err
	}
	if f, err = f.Put(document.Element{ID: id, Bytes: element}); err != nil {
		return nil, err
	}
	return f.Bytes(), nil
}

// Remove returns a file without an element.
func Remove(file string, content []byte, id string) ([]byte, error) {
	return Put(file, content, id, nil)
}

// Patch returns a file with a merge patch (RFC 7396) applied to an element. The
// error wraps document.ErrNotFound where there is none.
func Patch(file string, content []byte, id string, patch []byte) ([]byte, error) {
	f, err := document.Read(content, ArrayOf(file))
	if err != nil {
		return nil, err
	}
	element, ok := f.Get(id)
	if !ok {
		return nil, document.ErrNotFound
	}
	if element, err = document.MergePatch(element, patch); err != nil {
		return nil, err
	}
	if f, err = f.Replace(id, element); err != nil {
		return nil, err
	}
	return f.Bytes(), nil
}

// PlaceOf returns the position of an element in its file's array, -1 where it is
// not in it.
func PlaceOf(file string, content []byte, id string) int {
	f, err := document.Read(content, ArrayOf(file))
	if err != nil {
		return -1
	}
	return slices.IndexFunc(f.Elements(), func(e document.Element) bool { return e.ID == id })
}

// Diff lists what differs between the files of two versions, element by element
// where it can.
func Diff(before, after map[string][]byte) (out []store.Change) {
	for _, name := range Files() {
		was, had := before[name]
		is, has := after[name]
		switch {
		case had && has:
			out = append(out, document.Diff(name, ArrayOf(name), was, is)...)
		case has:
			out = append(out, store.Change{Action: "create", File: name})
		case had:
			out = append(out, store.Change{Action: "delete", File: name})
		}
	}
	return out
}
