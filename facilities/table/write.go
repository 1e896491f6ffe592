package table

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"

	"surgeonward/facilities/document"
)

// Form says how the elements of one kind of file stand in a table.
type Form struct {
	Array   string   // member of the file that holds the elements
	Columns []Column // the first is id
	MaxRows int
	// Empty is the text of a new element before its cells are put in; %s stands for
	// its id as JSON.
	Empty string
	// Check says what is wrong with a file as a whole.
	Check func(file []byte) []Problem
}

// Problem is one thing wrong with a file that a table was merged into.
type Problem struct {
	Pointer string // JSON Pointer (RFC 6901) into the file
	Detail  string
}

// Write returns the elements of a file as a table, in the order of the file, with a
// header, commas and the line ends of RFC 4180.
func (f *Form) Write(file []byte) ([]byte, error) {
	read, err := document.Read(file, f.Array)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	cells := f.names()
	if err := w.Write(cells); err != nil {
		return nil, err
	}
	for _, e := range read.Elements() {
		element, err := decode(e.Bytes)
		if err != nil {
			return nil, fmt.Errorf("element %.60q: %w", e.ID, err)
		}
		for i := range f.Columns {
			cells[i] = f.Columns[i].show(element)
		}
		if err := w.Write(cells); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

func (f *Form) names() []string {
	names := make([]string, len(f.Columns))
	for i, c := range f.Columns {
		names[i] = c.Name
	}
	return names
}

// decode reads an element and keeps the text of its numbers.
func decode(text []byte) (any, error) {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	var value any
	err := d.Decode(&value)
	return value, err
}
