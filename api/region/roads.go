package region

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"

	"surgeonward/routing/road"
)

// drawRoads reads roads.geojson. Without settings its timetables are read in
// UTC, which matters to nobody: there is a fault then.
func (r *Region) drawRoads(report *Report) {
	opt := road.DecodeOptions{}
	if r.Settings != nil {
		opt.Zone = r.Settings.Zone
	}
	m, faults, warnings := road.Decode(r.roads, opt)
	r.roadMap = m
	for _, f := range faults {
		report.Faults = append(report.Faults, Fault{RoadsFile, f.Feature, f.Pointer, f.Detail})
	}
	for _, w := range warnings {
		r.roadWarnings = append(r.roadWarnings, Fault{RoadsFile, w.Feature, w.Pointer, w.Detail})
	}
	report.Warnings = append(report.Warnings, r.roadWarnings...)
	if m != nil {
		r.keep(RoadsFile, r.roads, report)
	}
}

// sameRoads takes the roads over from a region with the same roads and settings.
func (r *Region) sameRoads(before *Region, report *Report) {
	r.roadMap, r.roadWarnings = before.roadMap, before.roadWarnings
	report.Warnings = append(report.Warnings, r.roadWarnings...)
	if r.elements == nil {
		r.elements = map[string]elements{}
	}
	r.elements[RoadsFile] = before.elements[RoadsFile]
}

// terrain gives the engine the region's water, mountains and crossings. A
// region without roads.geojson drives by the road factor alone.
func (r *Region) terrain(report *Report) {
	if r.roadMap == nil {
		return
	}
	t, err := road.NewTerrain(r.roadMap, road.Region{Factor: r.Settings.RoadFactor, Law: r.Settings.Road})
	if err != nil {
		report.fault(SettingsFile, "roads cannot be timed: %s", err)
		return
	}
	r.Engine.Road = t
	if r.Hashes.Roads, err = contentHash(r.roads); err != nil {
		report.fault(RoadsFile, "%s", err)
	}
}

// contentHash identifies a JSON document whatever its white space.
func contentHash(document []byte) (string, error) {
	var compact bytes.Buffer
	if err := json.Compact(&compact, document); err != nil {
		return "", err
	}
	sum := sha256.Sum256(compact.Bytes())
	return hex.EncodeToString(sum[:]), nil
}
