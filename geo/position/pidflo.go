package position

import (
	"math"
	"strings"

	"github.com/paulmach/orb"

	"surgeonward/geo"
	"surgeonward/geo/xmltree"
)

const pidfloHint = `send it with one gs:Circle or gml:Point in WGS 84, srsName="urn:ogc:def:crs:EPSG::4326", latitude first`

// defaultConfidencePct is the confidence of a region that states none: RFC 5491
// (second hand).
const defaultConfidencePct = 95

// parsePIDFLO takes the position of a PIDF-LO document (RFC 4119 with the shapes of
// RFC 5491), of a HELD location response around one, or of a shape alone. Latitude
// comes first in it. Everything else (whose presence it is, device, method, civic
// address, time) is dropped here and never quoted.
//
// A document with several different positions is refused: which one counts depends
// on rules that senders follow in different ways.
func parsePIDFLO(root *xmltree.Element) (Parsed, error) {
	shapes, confidence := locations(root)
	if len(shapes) == 0 {
		return Parsed{}, refuse(pidfloHint, "the XML document is neither a PIDF-LO location with coordinates nor a CAP circle")
	}
	var found []Parsed
	for _, shape := range shapes {
		parsed, err := readShape(shape)
		if err != nil {
			return Parsed{}, err
		}
		if len(found) > 0 && geo.Distance(found[0].Point, parsed.Point) > minUncertaintyM {
			return Parsed{}, refuse("send the one that is the scene alone", "the PIDF-LO document has several different positions")
		}
		found = append(found, parsed)
	}
	best := found[0]
	for _, other := range found[1:] {
		if other.UncertaintyM > best.UncertaintyM { // one place described twice: the more cautious counts
			best = other
		}
	}
	if best.ConfidencePct > 0 && confidence != "" {
		best.ConfidencePct = confidencePct(confidence)
	}
	return best, nil
}

// locations returns the shapes in the location information and the confidence that is stated beside them, "" where it is not.
func locations(root *xmltree.Element) (shapes []*xmltree.Element, confidence string) {
	if isShape(root) {
		return []*xmltree.Element{root}, ""
	}
	if !root.Is(nsPIDF, "presence") && !root.Is(nsHELD, "locationResponse") {
		return nil, ""
	}
	root.Walk(func(e *xmltree.Element) bool {
		if !e.Is(nsGeopriv, "location-info") {
			return true
		}
		for _, c := range e.Children {
			if isShape(c) {
				shapes = append(shapes, c)
			}
			if c.Is(nsConf, "confidence") {
				confidence = c.Text
			}
		}
		return false
	})
	return shapes, confidence
}

func isShape(e *xmltree.Element) bool { return e.Name.Space == nsGML || e.Name.Space == nsShape }

// confidencePct reads what RFC 7459 allows: a number between 0 and 100, or "unknown",
// which is 0 here.
func confidencePct(text string) float64 {
	n, ok := wholeDecimal(text)
	if !ok || n.negative || n.value() > 100 {
		return 0
	}
	return n.value()
}

// readShape takes the centre of a shape and a radius that holds all of it.
func readShape(e *xmltree.Element) (Parsed, error) {
	dimensions, err := dimensions(e)
	if err != nil {
		return Parsed{}, err
	}
	var radius, note string
	switch {
	case e.Is(nsGML, "Point"):
	case e.Is(nsGML, "Polygon"):
		return readPolygon(e, dimensions)
	case e.Is(nsShape, "Circle"), e.Is(nsShape, "Sphere"):
		radius = "radius"
	case e.Is(nsShape, "Ellipse"), e.Is(nsShape, "Ellipsoid"):
		radius = "semiMajorAxis"
	case e.Is(nsShape, "ArcBand"):
		radius, note = "outerRadius", "only the sector of an antenna is known: the middle is the antenna, not the patient"
	default:
		return Parsed{}, refuse(pidfloHint, "this shape of a PIDF-LO location is not read")
	}
	parsed, err := readPos(e.Child(nsGML, "pos").Content(), dimensions)
	if err != nil || radius == "" {
		return parsed, err
	}
	length := e.Child(nsShape, radius)
	if length == nil {
		return Parsed{}, &Error{Reason: "the PIDF-LO shape has no " + radius, Hint: pidfloHint}
	}
	if unit, _ := length.Attr("", "uom"); unit != "urn:ogc:def:uom:EPSG::9001" && unit != "EPSG:9001" {
		return Parsed{}, &Error{Reason: "the " + radius + " of the PIDF-LO shape is not marked as metres", Hint: `give it in metres with uom="urn:ogc:def:uom:EPSG::9001"`}
	}
	parsed.UncertaintyM, err = radiusM("the "+radius+" of the PIDF-LO shape", length.Text, 1)
	if err != nil {
		return Parsed{}, err
	}
	parsed.ConfidencePct, parsed.Note = defaultConfidencePct, note
	return parsed, nil
}

// dimensions returns how many numbers a point of the shape has by its reference
// system. Only the full names of WGS 84 settle the order of the axes: the short
// EPSG:4326 is used for longitude first as well.
func dimensions(e *xmltree.Element) (int, error) {
	name, given := e.Attr("", "srsName")
	if !given {
		if pos := e.Child(nsGML, "pos"); pos != nil {
			name, given = pos.Attr("", "srsName")
		}
	}
	switch {
	case name == "urn:ogc:def:crs:EPSG::4326":
		return 2, nil
	case name == "urn:ogc:def:crs:EPSG::4979":
		return 3, nil
	case !given:
		return 0, refuse(pidfloHint, "the PIDF-LO shape names no reference system")
	}
	return 0, refuse(pidfloHint, "the PIDF-LO shape is in a reference system other than urn:ogc:def:crs:EPSG::4326 or ::4979")
}

// readPos reads latitude, longitude and, in three dimensions, the altitude.
func readPos(text string, dimensions int) (Parsed, error) {
	fields := strings.Fields(text)
	if len(fields) != dimensions {
		return Parsed{}, refuse(pidfloHint, "the pos of the PIDF-LO shape has %d numbers and its reference system %d", len(fields), dimensions)
	}
	numbers := make([]number, len(fields))
	for i, field := range fields {
		n, ok := wholeDecimal(field)
		if !ok {
			return Parsed{}, refuse("write plain digits with a decimal point", "number %d in the pos of the PIDF-LO shape is not a plain decimal number", i+1)
		}
		numbers[i] = n
	}
	lat, lon := numbers[0], numbers[1]
	point, err := pointOf(lat, lon)
	if err != nil {
		return Parsed{}, err
	}
	parsed := Parsed{Point: point, Format: PIDFLO, UncertaintyM: halfDiagonal(lat.value(), lat.step(), lon.step())}
	if len(numbers) == 3 {
		if parsed.AltitudeM, err = altitude(numbers[2]); err != nil {
			return Parsed{}, err
		}
	}
	return parsed, nil
}

// readPolygon takes the middle of the corners and the distance to the farthest one:
// a circle on a sphere that holds the corners of a polygon holds its sides too.
func readPolygon(e *xmltree.Element, dimensions int) (Parsed, error) {
	ring := e.Child(nsGML, "exterior").Child(nsGML, "LinearRing")
	var texts []string
	for _, pos := range ring.All(nsGML, "pos") {
		texts = append(texts, pos.Text)
	}
	if list := strings.Fields(ring.Child(nsGML, "posList").Content()); len(texts) == 0 && len(list)%dimensions == 0 {
		for ; len(list) > 0; list = list[dimensions:] {
			texts = append(texts, strings.Join(list[:dimensions], " "))
		}
	}
	if len(texts) < 4 {
		return Parsed{}, refuse(pidfloHint, "the PIDF-LO polygon has no ring of at least four points of %d numbers", dimensions)
	}
	corners := make([]orb.Point, len(texts))
	var sum geo.Vector
	for i, text := range texts {
		corner, err := readPos(text, dimensions)
		if err != nil {
			return Parsed{}, err
		}
		corners[i] = corner.Point
		if i < len(texts)-1 { // the last repeats the first
			for axis, v := range geo.Unit(corner.Point) {
				sum[axis] += v
			}
		}
	}
	if corners[0] != corners[len(corners)-1] {
		return Parsed{}, refuse("repeat the first point at the end", "the ring of the PIDF-LO polygon is not closed")
	}
	return around(sum, corners)
}

// around makes a position of the sum of the corners' unit vectors and the corners.
func around(sum geo.Vector, corners []orb.Point) (Parsed, error) {
	x, y, z := sum[0], sum[1], sum[2]
	middle := orb.Point{math.Atan2(y, x) * 180 / math.Pi, math.Atan2(z, math.Hypot(x, y)) * 180 / math.Pi}
	farthest := 0.0
	for _, corner := range corners {
		farthest = math.Max(farthest, geo.Distance(middle, corner))
	}
	if farthest > math.Pi*geo.MeanRadius/4 {
		return Parsed{}, refuse("send a smaller one", "the PIDF-LO polygon spans a large part of the Earth")
	}
	return Parsed{Point: middle, Format: PIDFLO, UncertaintyM: math.Max(minUncertaintyM, farthest), ConfidencePct: defaultConfidencePct}, nil
}
