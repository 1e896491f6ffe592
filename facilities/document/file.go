package document

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
)

// The reasons that an element cannot be found or put.
var (
	ErrNotFound = errors.New("there is no such element")
	ErrExists   = errors.New("there is such an element already")
	ErrElement  = errors.New("the element cannot be put") // no JSON object, or not of the id that it is to have
)

// File is a JSON object of which one member is an array of elements. It does not
// change: every edit makes another.
type File struct {
	data []byte
	at   *tree // the array and its elements, not what is in them
	ids  []string
	by   map[string]int // position by id
}

// Element is one element of a file, as it stands there.
type Element struct {
	ID    string // empty: it has none, and cannot be edited by itself
	Bytes []byte // must not be changed
}

// New returns the text of a GeoJSON feature collection with no features.
func New() []byte { return []byte("{\n  \"type\": \"FeatureCollection\",\n  \"features\": []\n}\n") }

// Read finds the elements of a file in the member of the given name:
// "features" in a feature collection, "assets" in a fleet. Their ids are in the member
// "id". An error wraps ErrSyntax where the text is no JSON text. The bytes are kept.
func Read(data []byte, array string) (*File, error) {
	if err := valid(data); err != nil {
		return nil, err
	}
	f := &File{data: data, at: &tree{text: data}, by: map[string]int{}}
	root := space(data, 0)
	for name, at := range membersAt(data, root) {
		if name == array && data[at] == '[' {
			f.find(at)
		}
	}
	if len(f.at.nodes) == 0 {
		return nil, fmt.Errorf("the file has no array %.60q", array)
	}
	for i, id := range f.ids {
		if id == "" {
			continue
		}
		if first, twice := f.by[id]; twice {
			return nil, fmt.Errorf("%s[%d] and [%d] have the same id %.60q: give each its own", array, first, i, id)
		}
		f.by[id] = i
	}
	return f, nil
}

func (f *File) find(at int) {
	f.at.nodes = []node{{kind: '[', start: at}}
	for at = space(f.data, at+1); f.data[at] != ']'; at = space(f.data, at) {
		if f.data[at] == ',' {
			at = space(f.data, at+1)
		}
		end := skip(f.data, at)
		f.at.nodes = append(f.at.nodes, node{kind: kindOf(f.data[at]), start: at, from: at, end: end, next: len(f.at.nodes) + 1})
		f.ids = append(f.ids, idAt(f.data, at))
		at = end
	}
	f.at.nodes[0].end, f.at.nodes[0].next = at+1, len(f.at.nodes)
}

// membersAt goes through the members of the object at a byte of a valid text, by
// name and the first byte of the value. What is no object has none.
func membersAt(text []byte, at int) func(yield func(name string, at int) bool) {
	return func(yield func(string, int) bool) {
		if text[at] != '{' {
			return
		}
		for at := space(text, at+1); text[at] != '}'; at = space(text, at) {
			if text[at] == ',' {
				at = space(text, at+1)
			}
			end := skipScalar(text, at)
			name := unquote(text[at:end])
			at = space(text, space(text, end)+1)
			if !yield(name, at) {
				return
			}
			at = skip(text, at)
		}
	}
}

// idAt returns the id of the element at a byte; empty where it has none that is
// a text.
func idAt(text []byte, at int) string {
	for name, at := range membersAt(text, at) {
		if name == "id" {
			if text[at] == '"' {
				return unquote(text[at:skipScalar(text, at)])
			}
			return ""
		}
	}
	return ""
}

// Bytes returns the whole file. It must not be changed.
func (f *File) Bytes() []byte { return f.data }

// Elements returns all elements in the order of the file.
func (f *File) Elements() []Element {
	out := make([]Element, len(f.ids))
	for i, id := range f.ids {
		out[i] = Element{id, f.at.raw(i + 1)}
	}
	return out
}

// Get returns an element as it stands in the file.
func (f *File) Get(id string) ([]byte, bool) {
	i, there := f.by[id]
	if !there {
		return nil, false
	}
	return slices.Clone(f.at.raw(i + 1)), true
}

// Replace puts an element in the place of the one with its id. An error wraps
// ErrNotFound where there is none, ErrElement where the new one has another id.
func (f *File) Replace(id string, element []byte) (*File, error) {
	if _, there := f.by[id]; !there {
		return nil, fmt.Errorf("%w: %.60q", ErrNotFound, id)
	}
	return f.Put(Element{id, element})
}

// Insert adds an element after the last one. An error wraps ErrExists where its
// id is taken, ErrElement where it has none.
func (f *File) Insert(element []byte) (*File, error) {
	if err := valid(element); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrElement, err)
	}
	id := idAt(element, space(element, 0))
	if _, there := f.by[id]; there {
		return nil, fmt.Errorf("%w: %.60q", ErrExists, id)
	}
	return f.Put(Element{id, element})
}

// Delete takes an element out. An error wraps ErrNotFound where there is none.
func (f *File) Delete(id string) (*File, error) {
	if _, there := f.by[id]; !there {
		return nil, fmt.Errorf("%w: %.60q", ErrNotFound, id)
	}
	return f.Put(Element{ID: id})
}

// Put makes many edits in one pass: each element takes the place of the one with
// its id, or is added after the last one where there is none; one with no bytes is
// taken out. No id may be given twice.
func (f *File) Put(edits ...Element) (*File, error) {
	put := make(map[string]*tree, len(edits)) // nil: take it out
	var added []string
	for _, e := range edits {
		if _, twice := put[e.ID]; twice {
			return nil, fmt.Errorf("%w: the id %.60q is given twice", ErrElement, e.ID)
		}
		t, err := e.tree()
		if err != nil {
			return nil, err
		}
		put[e.ID] = t
		if _, there := f.by[e.ID]; !there && t != nil {
			added = append(added, e.ID)
		}
	}
	w := writer{style: styleOf(f.data)}
	root := &f.at.nodes[0]
	w.out = append(make([]byte, 0, len(f.data)+len(f.data)/8), f.data[:root.start]...)
	if len(f.ids) == 0 {
		w.first(f, put, added)
	} else {
		w.among(f, put, added)
	}
	w.out = append(w.out, f.data[root.end:]...)
	return f.again(w.out)
}

// tree reads an element that is to be put; nil for one that is to be taken out.
func (e *Element) tree() (*tree, error) {
	if e.ID == "" {
		return nil, fmt.Errorf(`%w: it has no text in the member "id"`, ErrElement)
	}
	if e.Bytes == nil {
		return nil, nil
	}
	if err := valid(e.Bytes); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrElement, err)
	}
	if id := idAt(e.Bytes, space(e.Bytes, 0)); id != e.ID {
		return nil, fmt.Errorf("%w: its id is %.60q, not %.60q", ErrElement, id, e.ID)
	}
	return grow(e.Bytes, 0), nil
}

// among writes the array where it had elements.
func (w *writer) among(f *File, put map[string]*tree, added []string) {
	var items []item
	for i, id := range f.ids {
		if t, edited := put[id]; !edited || t != nil || id == "" {
			items = append(items, item{i + 1, none})
		}
	}
	for k := range added {
		items = append(items, item{none, k})
	}
	w.items(f.at, 0, items, func(it item, g *gaps) {
		if it.old == none {
			w.fresh(put[added[it.new]], 0, g.indent, g.breaks)
			return
		}
		if t := put[f.ids[it.old-1]]; t != nil {
			w.rewrite(grow(f.data, f.at.nodes[it.old].start), 0, t, 0, g.breaks)
			return
		}
		w.out = append(w.out, f.at.raw(it.old)...)
	})
}

// first writes the array where it was empty.
func (w *writer) first(f *File, put map[string]*tree, added []string) {
	root := &f.at.nodes[0]
	if len(added) == 0 {
		w.out = append(w.out, f.at.raw(0)...)
		return
	}
	indent := string(indentAt(f.data, root.start))
	w.out = append(w.out, '[')
	for k, id := range added {
		if k > 0 {
			w.out = append(w.out, bytes.TrimRight([]byte(w.comma), " ")...)
		}
		if w.newline != "" {
			w.line(indent + w.unit)
		}
		w.fresh(put[id], 0, indent+w.unit, asFits)
	}
	if w.newline != "" {
		w.line(indent)
	}
	w.out = append(w.out, ']')
}

// again reads the file as an edit leaves it.
func (f *File) again(data []byte) (*File, error) {
	name := ""
	for member, at := range membersAt(f.data, space(f.data, 0)) {
		if at == f.at.nodes[0].start {
			name = member
		}
	}
	return Read(data, name)
}
