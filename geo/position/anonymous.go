package position

import (
	"strconv"
)

// Anonymous returns the text in a form that may be kept or shown: of a message between
// machines only what Parse takes, with nothing of the person or the telephone in it;
// any other position as it is. Parse makes the same of both, but for a CAP circle,
// which becomes a geo URI. Text that Parse refuses is refused in the same way.
func Anonymous(text string) (string, error) {
	parsed, err := Parse(text)
	if err != nil {
		return "", err
	}
	switch parsed.Format {
	case AML:
		return formatAML(parsed), nil
	case PIDFLO:
		return formatPIDFLO(parsed), nil
	case CAPCircle:
		return FormatGeoURI(parsed), nil
	}
	return text, nil
}

// formatAML writes the message without the identities, and states its length.
func formatAML(p Parsed) string {
	letter := ""
	for l, word := range amlMethods {
		if word == p.Method {
			letter = l
		}
	}
	text := `A"ML=1;lt=` + plainDecimal(p.Point.Lat()) + ";lg=" + plainDecimal(p.Point.Lon()) + ";rd=" + plainDecimal(p.UncertaintyM) +
		";top=" + p.MeasuredAt.Format(amlTime) + ";lc=" + plainDecimal(p.ConfidencePct) + ";pm=" + letter + ";ml="
	length := len(text) + 2 // the digits of the length count too
	if length > 99 {
		length++
	}
	return text + strconv.Itoa(length)
}

// formatPIDFLO writes a location object of nobody's.
func formatPIDFLO(p Parsed) string {
	shape, radius, system, pos := "Circle", "radius", "4326", plainDecimal(p.Point.Lat())+" "+plainDecimal(p.Point.Lon())
	if p.AltitudeM != nil {
		shape, system, pos = "Sphere", "4979", pos+" "+plainDecimal(*p.AltitudeM)
	}
	if p.Note != "" { // the one shape that has a note
		shape, radius = "ArcBand", "outerRadius"
	}
	confidence := "unknown"
	if p.ConfidencePct > 0 {
		confidence = plainDecimal(p.ConfidencePct)
	}
	return `<presence xmlns="` + nsPIDF + `" xmlns:gp="` + nsGeopriv + `" xmlns:gs="` + nsShape + `" xmlns:gml="` + nsGML + `" xmlns:con="` + nsConf + `">` +
		`<tuple><status><gp:geopriv><gp:location-info><gs:` + shape + ` srsName="urn:ogc:def:crs:EPSG::` + system + `"><gml:pos>` + pos + `</gml:pos>` +
		`<gs:` + radius + ` uom="urn:ogc:def:uom:EPSG::9001">` + plainDecimal(p.UncertaintyM) + `</gs:` + radius + `></gs:` + shape + `>` +
		`<con:confidence>` + confidence + `</con:confidence></gp:location-info></gp:geopriv></status></tuple></presence>`
}
