package document

import (
	"maps"
	"slices"

	"surgeonward/facilities/store"
)

// Arrays says in which member the elements of a region's files are, by file.
// Files that are not in it are one element as a whole.
type Arrays map[string]string

// RegionArrays are those of the files of a region's folder.
var RegionArrays = Arrays{"facilities.geojson": "features", "roads.geojson": "features", "fleet.json": "assets"}

// Explain says what differs between two states of files: element by element
// where it can, up to what an entry of history may name, and how many more there are.
func (a Arrays) Explain(before, after map[string][]byte) (what []store.Change, more int) {
	names := map[string]bool{}
	for name := range before {
		names[name] = true
	}
	for name := range after {
		names[name] = true
	}
	var out []store.Change
	for _, name := range slices.Sorted(maps.Keys(names)) {
		was, had := before[name]
		is, has := after[name]
		switch {
		case !had:
			out = append(out, store.Change{Action: "create", File: name})
		case !has:
			out = append(out, store.Change{Action: "delete", File: name})
		default:
			out = append(out, Diff(name, a[name], was, is)...)
		}
	}
	return store.Limit(out)
}

// Diff lists the elements of a file that differ: what was created and changed
// in the order of the file after, then what was deleted. White space, the order
// of members and the form of numbers make no difference. Where anything but elements
// with an id differs, a change of the file as a whole is added, which quotes nothing.
func Diff(file, array string, before, after []byte) []store.Change {
	if string(before) == string(after) {
		return nil
	}
	whole := store.Change{Action: "change", File: file}
	if array == "" {
		return []store.Change{whole}
	}
	was, err := Read(before, array)
	if err != nil {
		return []store.Change{whole}
	}
	is, err := Read(after, array)
	if err != nil {
		return []store.Change{whole}
	}
	var out []store.Change
	for i, id := range is.ids {
		k, there := was.by[id]
		switch {
		case id == "":
		case !there:
			out = append(out, store.Change{Action: "create", File: file, Element: id, After: slices.Clone(is.at.raw(i + 1))})
		case !same(was.at.raw(k+1), is.at.raw(i+1)):
			out = append(out, store.Change{
				Action: "change", File: file, Element: id,
				Before: slices.Clone(was.at.raw(k + 1)), After: slices.Clone(is.at.raw(i + 1)),
			})
		}
	}
	for i, id := range was.ids {
		if _, there := is.by[id]; id != "" && !there {
			out = append(out, store.Change{Action: "delete", File: file, Element: id, Before: slices.Clone(was.at.raw(i + 1))})
		}
	}
	if len(out) == 0 || !same(was.rest(), is.rest()) {
		out = append(out, whole)
	}
	return out
}

func same(a, b []byte) bool {
	return string(a) == string(b) || equal(grow(a, 0), 0, grow(b, 0), 0)
}

// rest is the file with only those elements that have no id.
func (f *File) rest() []byte {
	root := &f.at.nodes[0]
	out := append(slices.Clone(f.data[:root.start]), '[')
	begin := len(out)
	for i, id := range f.ids {
		if id != "" {
			continue
		}
		if len(out) > begin {
			out = append(out, ',')
		}
		out = append(out, f.at.raw(i+1)...)
	}
	return append(append(out, ']'), f.data[root.end:]...)
}
