package calibrate

import (
	"slices"
	"strings"

	"surgeonward/facilities/strictjson"
)

// The columns of a file of journeys. Units are in the names.
const (
	colJourney  = "journey_id"
	colStage    = "stage"
	colAsset    = "asset"
	colArea     = "area"
	colStarted  = "started_at"
	colDuration = "duration_s"
	colFromLon  = "from_lon"
	colFromLat  = "from_lat"
	colToLon    = "to_lon"
	colToLat    = "to_lat"
	colDriven   = "driven_m"
)

// Columns returns the columns a file of journeys may have, in the order they
// are documented in.
func Columns() []string {
	return []string{colJourney, colStage, colAsset, colArea, colStarted, colDuration,
		colFromLon, colFromLat, colToLon, colToLat, colDriven}
}

// needed must be in every file. Files without travel need no ends, and the
// other columns may be missing.
var needed = []string{colJourney, colStage, colStarted, colDuration, colFromLon, colFromLat}

// notRead starts the names of columns that are the file's own and are not read.
const notRead = "x_"

// header is where each column stands.
type header struct {
	at    map[string]int
	width int
}

// header reads the names of the columns; false where rows cannot be read.
func (f *faults) header(row int, names []string) (header, bool) {
	before := f.count()
	h := header{at: map[string]int{}, width: len(names)}
	known := Columns()
	for i, name := range names {
		name = strings.TrimSpace(name)
		_, twice := h.at[name]
		switch {
		case looksIdentifying(name):
			f.add(row, "", "column %s looks as if it told who a patient is: no patient identity is accepted, take the column out", quote(name))
		case strings.HasPrefix(name, notRead):
		case twice:
			f.add(row, "", "column %s is there twice: keep one", quote(name))
		case slices.Contains(known, name):
			h.at[name] = i
		case len(names) == 1 && strings.ContainsAny(name, ";\t"):
			f.add(row, "", "the columns are not separated by commas: save the file as CSV with commas")
			return h, false
		case name == "":
			f.add(row, "", "column %d has no name: name it or take it out", i+1)
		default:
			f.unknown(row, name, known)
		}
	}
	for _, name := range needed {
		if _, ok := h.at[name]; !ok {
			f.add(row, "", "column %s is missing", name)
		}
	}
	return h, f.count() == before
}

func (f *faults) unknown(row int, name string, known []string) {
	if near, ok := strictjson.Nearest(name, known); ok {
		f.add(row, "", "unknown column %s: did you mean %q?", quote(name), near)
		return
	}
	f.add(row, "", "unknown column %s: there are %s; a column that is yours alone starts with %s", quote(name), strings.Join(known, ", "), notRead)
}

// cell is the text of a column in a record, without blanks around it; empty
// where the file has no such column.
func (h *header) cell(record []string, column string) string {
	i, ok := h.at[column]
	if !ok || i >= len(record) {
		return ""
	}
	return strings.TrimSpace(record[i])
}
