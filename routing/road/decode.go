package road

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
)

// DecodeOptions complete what the file says.
type DecodeOptions struct {
	Zone  *time.Location // of timetables and seasons; nil: UTC, with a warning where it matters
	SnapM float64        // how far off the coast a point still counts as on it; 0: DefaultSnapM
}

// DefaultSnapM is how far off the coast, in metres, a point is still taken to
// the shore (assumption: coastlines drawn for a whole region cut off that much
// of a bay or a pier).
const DefaultSnapM = 500.0

// The bounds of a file. They keep the time to prepare it within some seconds.
const (
	MaxBarrierVertices = 20_000
	MaxAreaVertices    = 20_000
	MaxCrossings       = 1_000
	MaxFerries         = 100
)

// maxRegionDeg is how far from the middle of the map its barriers, areas and
// crossings may reach, in degrees of arc: 1,112 km.
const maxRegionDeg = 10.0

// maxReported is how many faults are returned.
const maxReported = 200

var fileLimits = strictjson.Limits{Bytes: 32 << 20, Depth: 32, Values: 3_000_000}

// Decode reads a region's roads.geojson. The faults are all that keeps it from
// being used, at most 200 of them, in the order of the file; the map is nil
// exactly if there is one. Warnings are what is odd but usable.
//
// Nothing is judged by the present time: a closing whose end has passed is no
// fault.
func Decode(data []byte, opt DecodeOptions) (m *Map, faults, warnings []facilities.Fault) {
	if !(opt.SnapM > 0) {
		opt.SnapM = DefaultSnapM
	}
	d := &decoder{opt: opt, out: &Map{zone: opt.Zone}, first: map[string]string{}}
	if d.out.zone == nil {
		d.out.zone = time.UTC
	}
	if root, ok := d.read(data); ok {
		for _, feature := range root.get("features").items() {
			d.feature(feature)
		}
		d.bounds()
		if len(d.faults) == 0 {
			d.survey()
		}
	}
	faults, warnings = d.report(d.faults), d.report(d.warnings)
	if len(faults) > 0 {
		return nil, faults, warnings
	}
	return d.out, nil, warnings
}

type decoder struct {
	opt              DecodeOptions
	out              *Map
	id               string // of the feature being read
	first            map[string]string
	ids              map[string]string // pointer of a feature to its id
	ends             []member          // the crossings' coordinates
	zoneWarned       bool
	faults, warnings []facilities.Fault
}

func (d *decoder) fault(at member, format string, args ...any) {
	d.faults = append(d.faults, facilities.Fault{Feature: d.id, Pointer: at.pointer, Detail: fmt.Sprintf(format, args...)})
}

func (d *decoder) warn(at member, format string, args ...any) {
	d.warnings = append(d.warnings, facilities.Fault{Feature: d.id, Pointer: at.pointer, Detail: fmt.Sprintf(format, args...)})
}

// read checks the text and its shape. A document of the wrong shape is
// returned all the same, so that other faults are found in the same pass.
func (d *decoder) read(data []byte) (root member, ok bool) {
	schema, err := compiledSchema()
	if err != nil {
		d.fault(member{}, "%s", err)
		return member{}, false
	}
	value, faults := strictjson.Parse(data, fileLimits)
	if len(faults) == 0 {
		root = member{value: value}
		d.ids = map[string]string{}
		for _, f := range root.get("features").items() {
			dropNulls(f.get("properties"))
			d.ids[f.pointer] = f.get("id").text()
		}
		faults = schema.CheckValue(value)
	}
	for _, f := range faults {
		d.faults = append(d.faults, facilities.Fault{Feature: d.ids[featurePointer(f.Pointer)], Pointer: f.Pointer, Detail: f.Detail})
	}
	return root, value != nil
}

// dropNulls removes the null members of an object: map programs write the
// empty cells of a column that way.
func dropNulls(m member) {
	object, _ := m.value.(map[string]any)
	for name, v := range object {
		if v == nil {
			delete(object, name)
		}
	}
}

// featurePointer is the pointer of the feature that a pointer leads into.
func featurePointer(pointer string) string {
	parts := strings.SplitN(pointer, "/", 4)
	if len(parts) < 3 {
		return pointer
	}
	return strings.Join(parts[:3], "/")
}

func (d *decoder) feature(m member) {
	d.id = m.get("id").text()
	defer func() { d.id = "" }()
	if d.id != "" {
		if at, twice := d.first[d.id]; twice {
			d.fault(m.get("id"), "id %s is already the id of %s: give each feature its own", strictjson.Quote(d.id), at)
		} else {
			d.first[d.id] = m.pointer
		}
	}
	properties, geometry := m.get("properties"), m.get("geometry")
	switch properties.get("kind").text() {
	case "road":
		d.road(properties, geometry)
	case "area":
		d.area(properties, geometry)
	case "barrier":
		d.barrier(properties, geometry)
	case "crossing":
		d.crossing(properties, geometry)
	}
}

// bounds checks what the file holds in all.
func (d *decoder) bounds() {
	barriers, areas, ferries := 0, 0, 0
	for i := range d.out.Barriers {
		for _, line := range d.out.Barriers[i].Lines {
			barriers += len(line)
		}
	}
	for i := range d.out.Areas {
		for _, ring := range d.out.Areas[i].Polygon {
			areas += len(ring)
		}
	}
	for i := range d.out.Crossings {
		if d.out.Crossings[i].Kind == Ferry {
			ferries++
		}
	}
	features := member{pointer: "/features"}
	for _, b := range []struct {
		what       string
		have, most int
		fix        string
	}{
		{"positions in barriers", barriers, MaxBarrierVertices, "draw the coast in less detail"},
		{"positions in areas", areas, MaxAreaVertices, "draw the areas in less detail"},
		{"crossings", len(d.out.Crossings), MaxCrossings, "keep those that a vehicle would take"},
		{"ferries", ferries, MaxFerries, "keep those that a vehicle would take"},
	} {
		if b.have > b.most {
			d.fault(features, "%d %s, at most %d can be used: %s", b.have, b.what, b.most, b.fix)
		}
	}
}

// survey puts the map into the plane and checks what can only be seen there.
func (d *decoder) survey() {
	points := d.out.points()
	if len(points) == 0 {
		return
	}
	up, ok := middle(points)
	if !ok {
		d.fault(member{pointer: "/features"}, "the features lie all round the Earth: a map is of one region")
		return
	}
	pl := newPlane(up)
	farM := 0.0
	for _, p := range points {
		farM = max(farM, geo.Distance(pl.point(xy{}), p))
	}
	if most := maxRegionDeg * degreeM; farM > most {
		d.fault(member{pointer: "/features"}, "the features reach %.0f km from their middle, at most %.0f km can be used: check for a wrong position, or split the region", farM/1000, most/1000)
		return
	}
	g := newGround(pl, d.out.Barriers, d.opt.SnapM)
	for i := range d.out.Crossings {
		d.moor(g, i)
	}
	d.out.ground = g
}

// degreeM is the length of a degree of arc.
const degreeM = geo.MeanRadius * 3.141592653589793 / 180

// moor puts a crossing's ends on land.
func (d *decoder) moor(g *ground, i int) {
	c := &d.out.Crossings[i]
	d.id = c.ID
	var ends [2]place
	for e := range ends {
		at := d.ends[i].items()[e]
		end, err := g.place(c.Ends[e])
		switch {
		case err != nil:
			d.fault(at, "this end of %s lies %.0f m in the water: move it onto land", c.Name, end.offM)
			return
		case end.offM > 0:
			d.warn(at, "this end of %s lies %.0f m in the water and is taken to the shore: move it onto land", c.Name, end.offM)
		}
		ends[e] = end
	}
	if !g.blocked(ends[0].at, ends[1].at) {
		d.warn(d.ends[i], "%s leads over no barrier: check its ends, or the barrier it is meant to cross", c.Name)
	}
	g.places = append(g.places, ends)
	d.id = ""
}

// points lists what decides where the map is.
func (m *Map) points() []orb.Point {
	var points []orb.Point
	for i := range m.Barriers {
		for _, line := range m.Barriers[i].Lines {
			points = append(points, line...)
		}
	}
	for i := range m.Areas {
		for _, ring := range m.Areas[i].Polygon {
			points = append(points, ring...)
		}
	}
	for i := range m.Crossings {
		points = append(points, m.Crossings[i].Ends[0], m.Crossings[i].Ends[1])
	}
	return points
}

// report puts faults in the order of the file and bounds their number.
func (d *decoder) report(faults []facilities.Fault) []facilities.Fault {
	slices.SortFunc(faults, func(a, b facilities.Fault) int {
		return cmp.Or(strictjson.ComparePointers(a.Pointer, b.Pointer), strings.Compare(a.Detail, b.Detail))
	})
	faults = slices.Compact(faults)
	if more := len(faults) - maxReported; more > 0 {
		faults = append(faults[:maxReported:maxReported], facilities.Fault{Detail: fmt.Sprintf("%d more are not shown: correct these first", more)})
	}
	return faults
}
