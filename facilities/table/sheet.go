package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"surgeonward/facilities/strictjson"
)

// The bounds of a table.
const (
	MaxBytes   = 8 << 20
	maxColumns = 200
	maxCell    = 4000      // bytes
	maxLine    = 256 << 10 // bytes
)

// sheet is a table as it was read: its columns by name, and its rows.
type sheet struct {
	separator rune
	columns   []string // by position; "" for one that is not read
	rows      []row
	notes     []string
}

// row is one row that is not blank.
type row struct {
	line  int
	cells map[string]string // by column, blank ones left out
}

// decimalComma reports whether numbers may have a decimal comma.
func (s *sheet) decimalComma() bool { return s.separator != ',' }

var separatorNames = map[rune]string{',': "commas", ';': "semicolons", '\t': "tabs"}

// readSheet reads a table with the known columns and up to maxRows rows. The sheet
// is nil where nothing can be done with it.
func readSheet(data []byte, known []string, maxRows int, out *faults) *sheet {
	if len(data) > MaxBytes {
		out.add(0, "", "", "the table has %d bytes; at most %d are read", len(data), MaxBytes)
		return nil
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if i := firstInvalid(data); i >= 0 {
		out.add(1+bytes.Count(data[:i], []byte("\n")), "", "", "the table is not UTF-8 text: save it as CSV UTF-8")
		return nil
	}
	if line := longLine(data); line > 0 {
		out.add(line, "", "", "the line is longer than %d bytes: this is no table of the region's", maxLine)
		return nil
	}
	s := &sheet{}
	first := 1
	if rest, ok := cutSeparatorLine(data, &s.separator); ok {
		data, first = rest, 2
	} else {
		s.separator = separatorOf(data)
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.FieldsPerRecord, r.ReuseRecord = s.separator, -1, true
	header, err := r.Read()
	if err != nil {
		out.add(first, "", "", "the table has no header: its first line names the columns, such as %s", strings.Join(known[:min(5, len(known))], ","))
		return nil
	}
	if !s.header(header, known, first, out) {
		return nil
	}
	if s.separator != ',' {
		s.notes = append(s.notes, separatorNames[s.separator]+" separate the cells: a comma in a number is its decimal comma")
	}
	s.body(r, first, maxRows, out)
	return s
}

// firstInvalid returns where data stops to be UTF-8 text, -1 where it does not.
func firstInvalid(data []byte) int {
	if i := bytes.IndexByte(data, 0); i >= 0 {
		return i
	}
	if utf8.Valid(data) {
		return -1
	}
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size <= 1 {
			return i
		}
		i += size
	}
	return -1
}

// longLine returns the first line that is too long, 0 where there is none. A row of
// nothing but separators would take many times its length in memory.
func longLine(data []byte) int {
	for line := 1; len(data) > 0; line++ {
		end := bytes.IndexByte(data, '\n')
		if end < 0 {
			end = len(data) - 1
		}
		if end > maxLine {
			return line
		}
		data = data[end+1:]
	}
	return 0
}

// cutSeparatorLine takes the line off with which some spreadsheets say what separates
// the cells: "sep=;".
func cutSeparatorLine(data []byte, separator *rune) ([]byte, bool) {
	line, rest, _ := bytes.Cut(data, []byte("\n"))
	value, ok := strings.CutPrefix(strings.TrimRight(string(line[:min(len(line), 10)]), "\r"), "sep=")
	if !ok || (value != "," && value != ";" && value != "\t") {
		return data, false
	}
	*separator = rune(value[0])
	return rest, true
}

// separatorOf finds what separates the cells: what the header has most of.
func separatorOf(data []byte) rune {
	line, _, _ := bytes.Cut(data[:min(len(data), 64<<10)], []byte("\n"))
	best, most := ',', 0
	for _, candidate := range []rune{',', ';', '\t'} {
		count, quoted := 0, false
		for _, b := range string(line) {
			switch b {
			case '"':
				quoted = !quoted
			case candidate:
				if !quoted {
					count++
				}
			}
		}
		if count > most {
			best, most = candidate, count
		}
	}
	return best
}

// header reads the names of the columns.
func (s *sheet) header(cells, known []string, line int, out *faults) bool {
	if len(cells) > maxColumns {
		out.add(line, "", "", "the table has %d columns; at most %d are read", len(cells), maxColumns)
		return false
	}
	taken := map[string]bool{}
	byName := map[string]bool{}
	for _, k := range known {
		byName[k] = true
	}
	var ignored []string
	before := len(out.kept)
	for _, cell := range cells {
		name := strings.TrimSpace(cell)
		switch near, isNear := strictjson.Nearest(name, known); {
		case name == "":
		case byName[name] && taken[name]:
			out.add(line, name, "", "the column is there twice: remove one")
		case byName[name]:
			taken[name] = true
		case isNear:
			out.add(line, plain(name), "", "no column has this name: did you mean %s?", strictjson.Quote(near))
			name = ""
		default:
			ignored = append(ignored, strictjson.Quote(name))
			name = ""
		}
		s.columns = append(s.columns, name)
	}
	if !taken["id"] {
		out.add(line, "", "", "the header has no column id, by which rows are matched; the columns are %s", strings.Join(known, ", "))
	}
	if len(ignored) > 0 {
		s.notes = append(s.notes, "not read, since no column has this name: "+strings.Join(ignored[:min(len(ignored), 20)], ", "))
	}
	return len(out.kept) == before
}

// body reads the rows.
func (s *sheet) body(r *csv.Reader, first, maxRows int, out *faults) {
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		var syntax *csv.ParseError
		if errors.As(err, &syntax) {
			out.add(syntax.Line+first-1, "", "", "a quotation mark is out of place: double it inside of a cell, and put the cell between quotation marks")
			continue
		}
		if err != nil {
			out.add(0, "", "", "the table cannot be read")
			return
		}
		line, _ := r.FieldPos(0)
		line += first - 1
		if len(s.rows) >= maxRows {
			out.add(line, "", "", "the table has more than %d rows: split it", maxRows)
			return
		}
		if row, blank := s.row(cells, line, out); !blank {
			s.rows = append(s.rows, row)
		}
	}
}

func (s *sheet) row(cells []string, line int, out *faults) (r row, blank bool) {
	r = row{line: line, cells: map[string]string{}}
	blank = true
	for i, cell := range cells {
		cell = strings.TrimSpace(cell)
		if cell == "" {
			continue
		}
		blank = false
		switch {
		case i >= len(s.columns):
			out.add(line, "", "", "the row has %d cells and the header %d: put a cell that has a %s in it between quotation marks", len(cells), len(s.columns), separatorWord(s.separator))
			return r, false
		case s.columns[i] == "":
		case len(cell) > maxCell:
			out.add(line, s.columns[i], "", "the cell has %d bytes; at most %d are read", len(cell), maxCell)
		default:
			r.cells[s.columns[i]] = strings.Clone(cell)
		}
	}
	return r, blank
}

func separatorWord(separator rune) string { return strings.TrimSuffix(separatorNames[separator], "s") }

// plain makes a name fit to be shown.
func plain(name string) string {
	quoted := strictjson.Quote(name)
	return quoted[1 : len(quoted)-1]
}
