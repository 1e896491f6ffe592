package table

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"surgeonward/facilities/document"
	"surgeonward/geo"
)

// Merged is a file with a table merged into it.
type Merged struct {
	File    []byte   // the whole file
	Added   []string // ids, in the order of the table
	Changed []string // ids, in the order of the table
	Same    int      // rows that say what the file has already
	Notes   []string // how the table was read, where that is not plain
}

// Merge puts a table into a file. With faults, all of them found at once, nothing is
// merged.
func (f *Form) Merge(file, table []byte) (Merged, []Fault) {
	var out faults
	s := readSheet(table, f.names(), f.MaxRows, &out)
	if s == nil {
		return Merged{}, out.report()
	}
	read, err := document.Read(file, f.Array)
	if err != nil {
		out.add(0, "", "", "the file that the table is for cannot be read: %s", err)
		return Merged{}, out.report()
	}
	m := merger{form: f, sheet: s, file: read, out: &out, lines: map[string]int{}}
	merged := m.merge()
	if out.any() {
		return Merged{}, out.report()
	}
	return merged, nil
}

type merger struct {
	form   *Form
	sheet  *sheet
	file   *document.File
	out    *faults
	lines  map[string]int // by id
	middle *orb.Point     // a place in the file's region; nil: none is known
}

func (m *merger) merge() Merged {
	result := Merged{Notes: m.sheet.notes}
	m.findMiddle()
	var edits []document.Element
	for _, r := range m.sheet.rows {
		edit, added, err := m.row(r)
		switch {
		case err != nil:
			m.out.add(r.line, "", r.cells["id"], "%s", err)
		case edit == nil:
			result.Same++
		case added:
			result.Added = append(result.Added, edit.ID)
		default:
			result.Changed = append(result.Changed, edit.ID)
		}
		if edit != nil {
			edits = append(edits, *edit)
		}
	}
	if m.out.any() {
		return Merged{}
	}
	result.File = m.file.Bytes()
	if len(edits) > 0 {
		changed, err := m.file.Put(edits...)
		if err != nil {
			m.out.add(0, "", "", "the table cannot be merged: %s", err)
			return Merged{}
		}
		result.File = changed.Bytes()
		m.check(changed)
	}
	return result
}

// row returns the element that a row makes; nil where it changes nothing or has
// faults, which are then noted.
func (m *merger) row(r row) (edit *document.Element, added bool, err error) {
	id := plainText(r.cells["id"])
	if id == "" {
		m.out.add(r.line, "id", "", "the row has no id")
		return nil, false, nil
	}
	if first, twice := m.lines[id]; twice {
		m.out.add(r.line, "id", id, "line %d has the same id: keep one of them", first)
		return nil, false, nil
	}
	m.lines[id] = r.line
	text, there := m.file.Get(id)
	if !there {
		name, err := json.Marshal(id)
		if err != nil {
			return nil, false, err
		}
		text = []byte(fmt.Sprintf(m.form.Empty, name))
	}
	element, err := decode(text)
	if err != nil {
		return nil, false, err
	}
	change := m.change(r, id, element)
	if len(change.names) == 0 && there {
		return nil, false, nil
	}
	merge, err := change.text()
	if err != nil {
		return nil, false, err
	}
	text, err = document.MergePatch(text, merge)
	if err != nil {
		return nil, false, err
	}
	return &document.Element{ID: id, Bytes: text}, !there, nil
}

// change gathers what a row changes in an element.
func (m *merger) change(r row, id string, element any) *patch {
	change := newPatch()
	given := map[string]any{} // by column
	for i := range m.form.Columns {
		c := &m.form.Columns[i]
		cell, ok := r.cells[c.Name]
		if !ok || c.Name == "id" {
			continue
		}
		if cell == "-" {
			if _, there := at(element, c.removes()); there {
				change.set(c.removes(), nil)
			}
			continue
		}
		value, err := c.read(cell, m.sheet.decimalComma())
		if err != nil {
			m.out.add(r.line, c.Name, id, "%s", err)
			continue
		}
		given[c.Name] = value
	}
	for i := range m.form.Columns {
		c := &m.form.Columns[i]
		value, ok := given[c.Name]
		if !ok {
			continue
		}
		if _, isPosition := c.axis(); isPosition {
			m.position(r, id, element, c, given, change)
			continue
		}
		if old, there := at(element, c.Path); !there || !c.same(value, old) {
			change.set(c.Path, value)
			if c.Anew {
				m.anew(element, c, given, change)
			}
		}
	}
	return change
}

// anew takes away what stood beside a value that changes and that no cell gives again.
func (m *merger) anew(element any, c *Column, given map[string]any, change *patch) {
	parent := c.Path[:len(c.Path)-1]
	beside, _ := at(element, parent)
	object, _ := beside.(map[string]any)
	for _, other := range m.form.Columns {
		if len(other.Path) != len(c.Path) || !slices.Equal(other.Path[:len(parent)], parent) || other.Name == c.Name {
			continue
		}
		if _, there := object[other.Path[len(parent)]]; there && given[other.Name] == nil {
			change.set(other.Path, nil)
		}
	}
}

// position puts latitude and longitude together: the file has them in one array.
func (m *merger) position(r row, id string, element any, c *Column, given map[string]any, change *patch) {
	if change.has(c.Path) {
		return // the other column has seen to it
	}
	old, _ := at(element, c.Path)
	was, _ := old.([]any)
	now := append([]any{}, was...)
	if len(now) < 2 {
		now = []any{nil, nil}
	}
	moved := false
	for i := range m.form.Columns {
		other := &m.form.Columns[i]
		axis, isPosition := other.axis()
		value, ok := given[other.Name]
		if !isPosition || !slices.Equal(other.Path, c.Path) {
			continue
		}
		switch {
		case ok && (now[axis] == nil || !other.same(value, now[axis])):
			now[axis], moved = value, true
		case !ok && now[axis] == nil:
			m.out.add(r.line, other.Name, id, "a position has latitude and longitude: fill in both")
			return
		}
	}
	if moved {
		change.set(c.Path, now)
		m.swapped(r, id, c, was, now)
	}
}

// farM is how far in metres a position may move, or be from the rest, before latitude
// and longitude that were swapped are likelier (assumption).
const farM = 1_000_000.0

// swapped notices latitude and longitude in each other's columns, where both are in
// range.
func (m *merger) swapped(r row, id string, c *Column, was, now []any) {
	from, known := pointOf(was)
	if !known && m.middle != nil {
		from, known = *m.middle, true
	}
	to, ok := pointOf(now)
	turned := orb.Point{to.Lat(), to.Lon()}
	if known && ok && geo.Check(to) == nil && geo.Check(turned) == nil && geo.Distance(from, to) > farM && geo.Distance(from, turned) < farM {
		m.out.add(r.line, c.Name, id, "latitude and longitude are swapped: the other way round the position is %.0f km from where it was or from the others, this way %.0f km",
			geo.Distance(from, turned)/1000, geo.Distance(from, to)/1000)
	}
}

func pointOf(position []any) (orb.Point, bool) {
	if len(position) < 2 {
		return orb.Point{}, false
	}
	var p orb.Point
	for i := range p {
		n, ok := position[i].(json.Number)
		if !ok {
			return orb.Point{}, false
		}
		f, err := n.Float64()
		if err != nil {
			return orb.Point{}, false
		}
		p[i] = f
	}
	return p, true
}

// findMiddle takes the first element's position that can be read.
func (m *merger) findMiddle() {
	for _, e := range m.file.Elements() {
		element, err := decode(e.Bytes)
		if err != nil {
			continue
		}
		for i := range m.form.Columns {
			if _, isPosition := m.form.Columns[i].axis(); isPosition {
				position, _ := at(element, m.form.Columns[i].Path)
				if list, ok := position.([]any); ok {
					if p, ok := pointOf(list); ok && geo.Check(p) == nil {
						m.middle = &p
						return
					}
				}
			}
		}
	}
}

// check has the merged file checked, and leads each problem back to its cell.
func (m *merger) check(file *document.File) {
	elements := file.Elements()
	for _, p := range m.form.Check(file.Bytes()) {
		tokens := strings.Split(p.Pointer, "/")
		if len(tokens) < 3 || tokens[1] != m.form.Array {
			m.out.add(0, "", "", "%s", p.Detail)
			continue
		}
		i, err := strconv.Atoi(tokens[2])
		if err != nil || i < 0 || i >= len(elements) {
			m.out.add(0, "", "", "%s", p.Detail)
			continue
		}
		id := elements[i].ID
		line, inTable := m.lines[id]
		detail := p.Detail
		if !inTable {
			detail = "the file has had this fault before: " + detail
		}
		m.out.add(line, m.form.columnAt(tokens[3:]), id, "%s", detail)
	}
}

// columnAt names the column of the value that a pointer into an element leads to.
func (f *Form) columnAt(tokens []string) string {
	for _, c := range f.Columns {
		axis, isPosition := c.axis()
		n := len(c.Path)
		if len(tokens) < n || !slices.Equal(tokens[:n], c.Path) {
			continue
		}
		if !isPosition || len(tokens) > n && tokens[n] == strconv.Itoa(axis) {
			return c.Name
		}
	}
	return ""
}
