package region

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"surgeonward/facilities/document"
	"surgeonward/facilities/strictjson"
)

// maxScenario is the longest document of changes that is read, in bytes.
const maxScenario = 8 << 20

// scenarioFile stands for the document of changes in a report.
const scenarioFile = "the scenario"

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
// fault; pointers of faults lead into the document of changes, as far as what is at
// fault is in it: what a change breaks elsewhere is said of the document as a whole.
func (r *Region) With(scenario []byte) (changed *Region, name string, report Report) {
	value, faults := strictjson.Parse(scenario, strictjson.Limits{Bytes: maxScenario, Values: 1_000_000})
	if len(faults) > 0 {
		report.add(scenarioFile, faults, nil)
		return nil, "", report
	}
	var members map[string]json.RawMessage
	if json.Unmarshal(scenario, &members) != nil || members == nil {
		report.scenario(nil, "must be an object with the files that change, such as %s", FleetFile)
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
				report.scenario([]string{member}, "name must be a text")
			}
		case member == SettingsFile:
			patched, err := document.MergePatch(files[member], members[member])
			if err != nil {
				report.scenario([]string{member}, "%s: %s", member, err)
			}
			files[member] = patched
		case slices.Contains(Files(), member):
			files[member] = report.changed(member, files[member], members[member])
		default:
			report.scenario([]string{member}, "%s is no file of a region: use name, %s, %s, %s or %s", strictjson.Quote(member),
				FacilitiesFile, FleetFile, RoadsFile, SettingsFile)
		}
	}
	if len(report.Faults) > 0 {
		return nil, name, report
	}
	changed, report = fromFiles(files, r)
	ids := map[string][]document.Element{}
	for i, f := range report.Faults {
		if _, known := ids[f.File]; !known {
			ids[f.File] = elementsOf(f.File, files[f.File])
		}
		report.Faults[i] = inScenario(f, value, ids[f.File])
	}
	return changed, name, report
}

// scenario adds a fault of the document of changes.
func (report *Report) scenario(at []string, format string, args ...any) {
	report.Faults = append(report.Faults, Fault{File: scenarioFile, Pointer: strictjson.Pointer(at...), Detail: fmt.Sprintf(format, args...)})
}

// changed is a file with its elements changed, all of them in one pass.
func (report *Report) changed(file string, content []byte, changes json.RawMessage) []byte {
	var patches map[string]json.RawMessage
	if json.Unmarshal(changes, &patches) != nil || patches == nil {
		report.scenario([]string{file}, "%s must be an object of elements by their ids", file)
		return content
	}
	if content == nil {
		content = document.New()
	}
	f, err := document.Read(content, ArrayOf(file))
	if err != nil {
		report.scenario([]string{file}, "%s cannot be changed: %s", file, err)
		return content
	}
	var edits []document.Element
	for _, id := range slices.Sorted(maps.Keys(patches)) {
		element, err := change(f, file, id, patches[id])
		if err != nil {
			report.scenario([]string{file, id}, "%s, %s: %s", file, strictjson.Quote(id), err)
			continue
		}
		edits = append(edits, document.Element{ID: id, Bytes: element})
	}
	after, err := f.Put(edits...)
	if err != nil {
		report.scenario([]string{file}, "%s: %s", file, err)
		return content
	}
	return after.Bytes()
}

// change is an element after its patch; nil: it is taken out.
func change(f *document.File, file, id string, patch json.RawMessage) ([]byte, error) {
	target, there := f.Get(id)
	switch {
	case id == "":
		return nil, fmt.Errorf("an element needs an id: write it in place of %q", "")
	case string(patch) == "null" && !there:
		return nil, fmt.Errorf("%w: nothing to take out", document.ErrNotFound)
	case string(patch) == "null":
		return nil, nil
	case !there:
		bare := map[string]string{"id": id}
		if file != FleetFile {
			bare["type"] = "Feature"
		}
		var err error
		if target, err = json.Marshal(bare); err != nil {
			return nil, err
		}
	}
	element, err := document.MergePatch(target, patch)
	if err != nil {
		return nil, err
	}
	var members map[string]json.RawMessage
	var is string
	if json.Unmarshal(element, &members) != nil {
		return nil, errors.New("must be an object, or null to take the element out")
	}
	if json.Unmarshal(members["id"], &is) != nil || is != id {
		return nil, errors.New("the patch gives it another id: leave the member id out")
	}
	return element, nil
}

// inScenario leads a fault of a changed file to where the document of changes has
// what is at fault.
func inScenario(f Fault, scenario any, all []document.Element) Fault {
	path := append([]string{f.File}, tokens(f.Pointer)...)
	element := f.Feature
	if array := ArrayOf(f.File); array != "" && len(path) > 2 && path[1] == array {
		if n, err := strconv.Atoi(path[2]); element == "" && err == nil && n >= 0 && n < len(all) {
			element = all[n].ID
		}
		path = append([]string{f.File, element}, path[3:]...)
	}
	whole, least := len(path), 1
	if element != "" {
		least = 2
	}
	if path = within(scenario, path); len(path) < least {
		path = nil // it is wrong because of something else
	}
	detail := f.Detail
	switch {
	case path == nil && element != "":
		detail = fmt.Sprintf("with this change, %s, %s: %s", f.File, strictjson.Quote(element), detail)
	case path == nil:
		detail = fmt.Sprintf("with this change, %s: %s", f.File, detail)
	case len(path) < whole:
		detail = fmt.Sprintf("%s (%s%s)", detail, f.File, f.Pointer)
	}
	return Fault{File: scenarioFile, Feature: f.Feature, Pointer: strictjson.Pointer(path...), Detail: detail}
}

// within is as much of a path as a value has.
func within(value any, path []string) []string {
	for i, token := range path {
		switch v := value.(type) {
		case map[string]any:
			below, there := v[token]
			if !there {
				return path[:i]
			}
			value = below
		case []any:
			n, err := strconv.Atoi(token)
			if err != nil || n < 0 || n >= len(v) {
				return path[:i]
			}
			value = v[n]
		default:
			return path[:i]
		}
	}
	return path
}

// tokens takes a JSON Pointer apart.
func tokens(pointer string) (out []string) {
	if pointer == "" {
		return nil
	}
	for _, token := range strings.Split(pointer, "/")[1:] {
		out = append(out, strings.NewReplacer("~1", "/", "~0", "~").Replace(token))
	}
	return out
}

// elementsOf is the elements of a file in its order; none where it cannot be read.
func elementsOf(file string, content []byte) []document.Element {
	if ArrayOf(file) == "" || content == nil {
		return nil
	}
	f, err := document.Read(content, ArrayOf(file))
	if err != nil {
		return nil
	}
	return f.Elements()
}
