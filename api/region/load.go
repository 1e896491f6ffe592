package region

import (
	"bytes"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"surgeonward/api/record"
	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
	"surgeonward/testdata"
)

// The files of a region's folder.
const (
	FacilitiesFile = "facilities.geojson"
	FleetFile      = "fleet.json"
	SettingsFile   = "settings.json"
	RoadsFile      = "roads.geojson" // may be absent
)

// The longest each file may be, in bytes.
const (
	maxFacilities = facilities.DefaultMaxBytes
	maxFleet      = 8 << 20
	maxSettings   = 1 << 20
	maxRoads      = 32 << 20
)

// longest is how long each file may be, in the order in which they are read.
var longest = []struct {
	name string
	most int64
}{{SettingsFile, maxSettings}, {FacilitiesFile, maxFacilities}, {FleetFile, maxFleet}, {RoadsFile, maxRoads}}

// Files names the files of a region. All but RoadsFile must be there.
func Files() []string { return []string{FacilitiesFile, FleetFile, RoadsFile, SettingsFile} }

// MaxBytes is how long the file of a region may be; 0 for a name that is none.
func MaxBytes(name string) int64 {
	for _, l := range longest {
		if l.name == name {
			return l.most
		}
	}
	return 0
}

// Load reads a region's folder and reports everything wrong with all of its
// files at once. The region is nil exactly if there is a fault; warnings are
// what is odd but usable.
func Load(fsys fs.FS) (*Region, Report) {
	var report Report
	files := map[string][]byte{}
	for _, l := range longest {
		if l.name == RoadsFile && !exists(fsys, RoadsFile) {
			continue
		}
		if data := report.read(fsys, l.name, l.most); data != nil {
			files[l.name] = data
		}
	}
	return assemble(files, nil, report)
}

// Demo loads the demonstration region that is part of the program.
func Demo() (*Region, Report) { return Load(testdata.Demo) }

// DemoFiles returns the files of the demonstration region by name.
func DemoFiles() (map[string][]byte, error) {
	files := map[string][]byte{}
	for _, name := range Files() {
		data, err := fs.ReadFile(testdata.Demo, name)
		if err != nil {
			return nil, err
		}
		files[name] = data
	}
	return files, nil
}

// assemble makes a region of its files. Parts of a region that was made before
// are taken over where they come from the same bytes: a regional map takes
// longer to prepare than all the rest.
func assemble(files map[string][]byte, before *Region, report Report) (*Region, Report) {
	r := &Region{}
	r.settingsFile, r.roads = files[SettingsFile], files[RoadsFile]
	if r.settingsFile != nil {
		r.settings(r.settingsFile, &report)
	}
	same := before != nil && bytes.Equal(before.settingsFile, r.settingsFile)
	if places := files[FacilitiesFile]; places != nil {
		r.places(places, &report)
	}
	if fleet := files[FleetFile]; fleet != nil {
		r.fleet(fleet, &report)
	}
	r.reportedIDs(&report)
	if r.roads != nil {
		if same = same && before.roads != nil && bytes.Equal(before.roads, r.roads); same {
			r.sameRoads(before, &report)
		} else {
			r.drawRoads(&report)
		}
	}
	if len(report.Faults) > 0 {
		return nil, report
	}
	r.Name, r.Demonstration = r.Settings.Region, r.Settings.Demonstration
	r.Engine = routing.NewEngine(r.Facilities, r.Fleet, r.Settings)
	r.Hashes = Hashes{Parameters: r.Settings.Hash(), Facilities: r.Facilities.Hash(), Fleet: r.Fleet.Hash()}
	if r.roads != nil && same {
		r.Engine.Road, r.Hashes.Roads = before.Engine.Road, before.Hashes.Roads
	} else {
		r.terrain(&report)
	}
	if len(report.Faults) > 0 {
		return nil, report
	}
	for _, name := range Files() {
		if content := files[name]; content != nil {
			r.data = append(r.data, record.NewData(name, content))
		}
	}
	r.warnings = report.Warnings
	return r, report
}

func (r *Region) settings(data []byte, report *Report) {
	settings, faults, warnings := routing.DecodeSettings(data)
	r.Settings = settings
	report.add(SettingsFile, faults, warnings)
}

func (r *Region) places(data []byte, report *Report) {
	opt := facilities.DecodeOptions{MaxBytes: maxFacilities}
	if r.Settings != nil {
		opt.Zone = r.Settings.Zone
	}
	list, faults, warnings := facilities.Decode(data, opt)
	r.Facilities = list
	for _, f := range faults {
		report.Faults = append(report.Faults, Fault{FacilitiesFile, f.Feature, f.Pointer, f.Detail})
	}
	for _, w := range warnings {
		report.Warnings = append(report.Warnings, Fault{FacilitiesFile, w.Feature, w.Pointer, w.Detail})
	}
	if list == nil {
		return
	}
	r.keep(FacilitiesFile, data, report)
}

// reportedIDs warns of ids of status reports that stand for no hospital. It is no
// fault: who takes a hospital out of the list need not know of the reports.
func (r *Region) reportedIDs(report *Report) {
	if r.Settings == nil || r.Facilities == nil {
		return
	}
	for i, id := range r.Settings.Status.IDs {
		f, ok := r.Facilities.Get(id.Facility)
		if ok && f.Kind == facilities.Hospital {
			continue
		}
		report.Warnings = append(report.Warnings, Fault{File: SettingsFile, Pointer: fmt.Sprintf("/status_reports/ids/%d/facility", i),
			Detail: strictjson.Quote(id.Facility) + " is no hospital of " + FacilitiesFile + ": reports of it change nothing"})
	}
}

func (r *Region) fleet(data []byte, report *Report) {
	fleet, faults, warnings := routing.DecodeFleet(data, r.Facilities, r.Settings)
	if r.Settings == nil { // the tables it names may be in the settings, which are at fault already
		faults = slices.DeleteFunc(faults, func(f strictjson.Fault) bool { return strings.HasSuffix(f.Pointer, "/minima") })
	}
	r.Fleet, r.fleetFile = fleet, data
	report.add(FleetFile, faults, warnings)
	if fleet == nil {
		return
	}
	r.keep(FleetFile, data, report)
}

func (report *Report) add(file string, faults, warnings []strictjson.Fault) {
	for _, f := range faults {
		report.Faults = append(report.Faults, Fault{File: file, Pointer: f.Pointer, Detail: f.Detail})
	}
	for _, w := range warnings {
		report.Warnings = append(report.Warnings, Fault{File: file, Pointer: w.Pointer, Detail: w.Detail})
	}
}
