package region

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"surgeonward/facilities/document"
	"surgeonward/facilities/strictjson"
)

// maxScenario is the longest file of changes that is read, in bytes.
const maxScenario = 8 << 20

// With is the region as it would be with some changes: a JSON object with the files
// that change by their names, each an object of what changes in it. In
// settings.json that is a merge patch (RFC 7396). In the others it is one for each
// element, by its id: an id that is not there yet adds an element, null takes one
// out. A member name says what it is called.
//
//	{"name": "Helicopter 2 by night too",
//	 "fleet.json": {"heli-2": {"hours": null, "night_flying": true}}}
//
// The files are checked as every region's are. The region is nil where there is a
// fault.
func (r *Region) With(scenario []byte) (changed *Region, name string, report Report) {
	const file = "the scenario"
	if _, faults := strictjson.Parse(scenario, strictjson.Limits{Bytes: maxScenario, Values: 1_000_000}); len(faults) > 0 {
		report.add(file, faults, nil)
		return nil, "", report
	}
	var members map[string]json.RawMessage
	if json.Unmarshal(scenario, &members) != nil || members == nil {
		report.fault(file, "must be an object with the files that change, such as %s", FleetFile)
		return nil, "", report
	}
	files := map[string][]byte{}
	for _, d := range r.data {
		files[d.Name] = d.Bytes
	}
	for _, member := range slices.Sorted(maps.Keys(members)) {
		switch {
		case member == "name":
			if json.Unmarshal(members[member], &name) != nil {
				report.fault(file, "name must be a text")
			}
		case member == SettingsFile:
			patched, err := document.MergePatch(files[member], members[member])
			if err != nil {
				report.fault(file, "%s: %s", member, err)
			}
			files[member] = patched
		case slices.Contains(Files(), member):
			files[member] = report.changed(file, member, files[member], members[member])
		default:
			report.fault(file, "%s is no file of a region: use name, %s, %s, %s or %s", strictjson.Quote(member),
				FacilitiesFile, FleetFile, RoadsFile, SettingsFile)
		}
	}
	if len(report.Faults) > 0 {
		return nil, name, report
	}
	changed, report = FromFiles(files)
	return changed, name, report
}

// changed is a file with its elements changed.
func (report *Report) changed(scenario, file string, content []byte, changes json.RawMessage) []byte {
	var elements map[string]json.RawMessage
	if json.Unmarshal(changes, &elements) != nil || elements == nil {
		report.fault(scenario, "%s must be an object of elements by their ids", file)
		return content
	}
	for _, id := range slices.Sorted(maps.Keys(elements)) {
		after, err := change(file, content, id, elements[id])
		if err != nil {
			report.fault(scenario, "%s, %s: %s", file, strictjson.Quote(id), err)
			continue
		}
		content = after
	}
	return content
}

func change(file string, content []byte, id string, patch json.RawMessage) ([]byte, error) {
	_, there, err := Find(file, content, id)
	switch {
	case err != nil:
		return nil, err
	case string(patch) == "null" && there == nil:
		return nil, fmt.Errorf("%w: nothing to take out", document.ErrNotFound)
	case string(patch) == "null":
		return Remove(file, content, id)
	case there != nil:
		return Patch(file, content, id, patch)
	}
	bare := map[string]string{"id": id}
	if file != FleetFile {
		bare["type"] = "Feature"
	}
	text, err := json.Marshal(bare)
	if err != nil {
		return nil, err
	}
	element, err := document.MergePatch(text, patch)
	if err != nil {
		return nil, err
	}
	return Put(file, content, id, element)
}
