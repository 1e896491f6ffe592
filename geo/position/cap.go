package position

import (
	"strings"

	"surgeonward/geo/xmltree"
)

// parseCAP takes the circle of a CAP 1.2 alert, or a circle element alone:
// "latitude,longitude radius" with the radius in kilometres. The form is from the
// example of the specification, read second hand; the unit is from memory.
func parseCAP(root *xmltree.Element) (Parsed, error) {
	var circles []string
	status := ""
	root.Walk(func(e *xmltree.Element) bool {
		switch e.Name.Local {
		case "circle":
			circles = append(circles, e.Text)
		case "status":
			status = e.Text
		}
		return true
	})
	if len(circles) != 1 {
		return Parsed{}, refuse("send the circle that is the scene alone", "the CAP alert has %d circles and not one", len(circles))
	}
	parsed, err := parseCircle(circles[0])
	if err == nil && status != "" && status != "Actual" {
		parsed.Note = "the CAP alert is not marked Actual: it may be an exercise or a test"
	}
	return parsed, err
}

func parseCircle(text string) (Parsed, error) {
	const hint = "write it like 45.52,-29.41 0.5: latitude,longitude and the radius in kilometres"
	fields := strings.Fields(text)
	if len(fields) != 2 {
		return Parsed{}, refuse(hint, "a CAP circle has a point and a radius between spaces, not %d parts", len(fields))
	}
	latText, lonText, ok := strings.Cut(fields[0], ",")
	lat, okLat := wholeDecimal(latText)
	lon, okLon := wholeDecimal(lonText)
	if !ok || !okLat || !okLon {
		return Parsed{}, refuse(hint, "the point of the CAP circle is not latitude,longitude in plain decimals")
	}
	point, err := pointOf(lat, lon)
	if err != nil {
		return Parsed{}, err
	}
	const kilometre = 1000.0
	radius, err := radiusM("the radius of the CAP circle in kilometres", fields[1], kilometre)
	if err != nil {
		return Parsed{}, err
	}
	return Parsed{Point: point, Format: CAPCircle, UncertaintyM: radius}, nil
}
