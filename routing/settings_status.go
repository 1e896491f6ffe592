package routing

import (
	"strings"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
)

// StatusReports is how the region reads the reports in which hospitals tell
// their own state. It leads to edits of the list and to no figure of an answer,
// and so is no part of the settings' hash.
type StatusReports struct {
	IDs     []ReportedID                      // in the order of the file, each Reported once
	Colours map[string]facilities.AcceptState // what a colour means here, by its name in lower case
}

// ReportedID is a hospital by the id that reports have for it.
type ReportedID struct{ Reported, Facility string }

// ByReported leads from the ids of the reports to those of the list.
func (s *StatusReports) ByReported() map[string]string {
	out := make(map[string]string, len(s.IDs))
	for _, id := range s.IDs {
		out[id.Reported] = id.Facility
	}
	return out
}

// statusReports reads both tables. Whether a facility is a hospital of the list
// is not known here.
func (f *findings) statusReports(m member) StatusReports {
	var out StatusReports
	first := map[string]string{} // id to the pointer of the row that has it
	for _, row := range m.get("ids").items() {
		id := ReportedID{row.get("reported").text(), row.get("facility").text()}
		if at, twice := first[id.Reported]; twice && id.Reported != "" {
			f.fault(row.pointer+"/reported", "id %s is already at %s: keep one", strictjson.Quote(id.Reported), at)
			continue
		}
		first[id.Reported] = row.pointer
		out.IDs = append(out.IDs, id)
	}
	clear(first)
	for _, row := range m.get("colours").items() {
		colour := strings.ToLower(row.get("colour").text())
		if at, twice := first[colour]; twice && colour != "" {
			f.fault(row.pointer+"/colour", "colour %s is already at %s: keep one", strictjson.Quote(colour), at)
			continue
		}
		first[colour] = row.pointer
		if out.Colours == nil {
			out.Colours = map[string]facilities.AcceptState{}
		}
		out.Colours[colour] = facilities.AcceptState(row.get("state").text())
	}
	return out
}
