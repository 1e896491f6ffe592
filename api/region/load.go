package region

import (
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

// Load reads a region's folder and reports everything wrong with all of its
// files at once. The region is nil exactly if there is a fault; warnings are
// what is odd but usable.
func Load(fsys fs.FS) (*Region, Report) {
	var report Report
	files := map[string][]byte{
		SettingsFile:   report.read(fsys, SettingsFile, maxSettings),
		FacilitiesFile: report.read(fsys, FacilitiesFile, maxFacilities),
		FleetFile:      report.read(fsys, FleetFile, maxFleet),
	}
	if exists(fsys, RoadsFile) {
		files[RoadsFile] = report.read(fsys, RoadsFile, maxRoads)
	}
	return fromFiles(files, report)
}

// FromFiles loads a region from the content of its files, as Load does from its
// folder.
func FromFiles(files map[string][]byte) (*Region, Report) {
	var report Report
	for _, name := range []string{SettingsFile, FacilitiesFile, FleetFile} {
		if files[name] == nil {
			report.missing(name)
		}
	}
	return fromFiles(files, report)
}

// fromFiles makes the region. The report has a fault for each file that is nil;
// roads may be.
func fromFiles(files map[string][]byte, report Report) (*Region, Report) {
	r := &Region{roads: files[RoadsFile]}
	settings, places, fleet := files[SettingsFile], files[FacilitiesFile], files[FleetFile]
	if settings != nil {
		r.settings(settings, &report)
	}
	if places != nil {
		r.places(places, &report)
	}
	if fleet != nil {
		r.fleet(fleet, &report)
	}
	if r.roads != nil {
		r.drawRoads(&report)
	}
	if len(report.Faults) > 0 {
		return nil, report
	}
	r.Name, r.Demonstration = r.Settings.Region, r.Settings.Demonstration
	r.Engine = routing.NewEngine(r.Facilities, r.Fleet, r.Settings)
	r.Hashes = Hashes{Parameters: r.Settings.Hash(), Facilities: r.Facilities.Hash(), Fleet: r.Fleet.Hash()}
	r.terrain(&report)
	if len(report.Faults) > 0 {
		return nil, report
	}
	for _, name := range []string{FacilitiesFile, FleetFile, SettingsFile, RoadsFile} {
		if content := files[name]; content != nil {
			r.data = append(r.data, record.NewData(name, content))
		}
	}
	return r, report
}

// Demo loads the demonstration region that is part of the program.
func Demo() (*Region, Report) { return Load(testdata.Demo) }

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
	var err error
	if r.features, err = parts(data, "features"); err != nil {
		report.fault(FacilitiesFile, "%s", err)
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
	var err error
	if r.assets, err = parts(data, "assets"); err != nil {
		report.fault(FleetFile, "%s", err)
	}
}

func (report *Report) add(file string, faults, warnings []strictjson.Fault) {
	for _, f := range faults {
		report.Faults = append(report.Faults, Fault{File: file, Pointer: f.Pointer, Detail: f.Detail})
	}
	for _, w := range warnings {
		report.Warnings = append(report.Warnings, Fault{File: file, Pointer: w.Pointer, Detail: w.Detail})
	}
}
