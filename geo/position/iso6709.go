package position

import (
	"regexp"
	"strings"
)

const isoHint = "write it like +45.52-029.41/ with two digits of degrees for latitude and three for longitude"

// A sign and a digit, and later a sign between digits with no space: the string may
// be cut short or wrong, but nothing else is written like this.
var isoShape = regexp.MustCompile(`^[+-][0-9]+(?:[.,][0-9]+)?[+-][0-9][^ ]*$`)

// readISO6709 reads the point strings of ISO 6709 annex H: signed latitude and
// longitude in degrees, degrees and minutes, or degrees, minutes and seconds, told
// apart by the number of digits; perhaps an altitude in metres and the coordinate
// system WGS_84; and the closing solidus, without which the text may have lost its
// end.
func readISO6709(text string) (Parsed, bool, error) {
	if !isoShape.MatchString(text) {
		return Parsed{}, false, nil
	}
	parsed, err := parseISO6709(text)
	return parsed, true, err
}

func parseISO6709(text string) (Parsed, error) {
	body, ok := strings.CutSuffix(text, "/")
	if !ok {
		return Parsed{}, refuse(isoHint, "an ISO 6709 string ends with a solidus, and this may have lost its end")
	}
	if strings.Contains(body, ",") {
		return Parsed{}, refuse("write a decimal point", "the decimal comma is not accepted")
	}
	latText, rest, _ := cutSigned(body)
	lonText, rest, ok := cutSigned(rest)
	if !ok || !lonText.signed {
		return Parsed{}, refuse(isoHint, "the longitude is missing its sign or its digits")
	}
	lat, latStep, err := sexagesimal("latitude", latText, 2)
	if err != nil {
		return Parsed{}, err
	}
	lon, lonStep, err := sexagesimal("longitude", lonText, 3)
	if err != nil {
		return Parsed{}, err
	}
	point, err := inRange(lat, lon, latText.String(), lonText.String())
	if err != nil {
		return Parsed{}, err
	}
	parsed := Parsed{Point: point, Format: ISO6709, UncertaintyM: halfDiagonal(lat, latStep, lonStep)}
	if n, after, ok := cutSigned(rest); ok && n.signed {
		rest = after
		if parsed.AltitudeM, err = altitude(n); err != nil {
			return Parsed{}, err
		}
	}
	if rest != "" && rest != "CRSWGS_84" {
		return Parsed{}, refuse("after the longitude only an altitude and CRSWGS_84 may come", "%q cannot be read", rest)
	}
	return parsed, nil
}

// sexagesimal reads digits run together: degrees of the given width, then two digits
// of minutes and two of seconds where the number is that long; decimals belong to
// the last of them. It returns the angle and the size of a unit in its last place,
// both in degrees.
func sexagesimal(name string, n number, width int) (deg, step float64, err error) {
	parts := []number{{text: n.text}}
	if whole := len(n.whole()); whole != width {
		if whole != width+2 && whole != width+4 {
			return 0, 0, refuse(isoHint, "%s %s does not have %d, %d or %d digits before the point", name, n.String(), width, width+2, width+4)
		}
		parts = []number{{text: n.text[:width]}}
		for i := width; i < whole; i += 2 {
			parts = append(parts, number{text: n.text[i : i+2]})
		}
		parts[len(parts)-1].text += n.text[whole:]
	}
	deg, step, err = sumParts(name, parts)
	if n.negative {
		deg = -deg
	}
	return deg, step, err
}

// sumParts adds degrees, minutes and seconds, all unsigned. It counts in the
// smallest of them and divides once, so that whole numbers lose nothing on the way.
func sumParts(name string, parts []number) (deg, step float64, err error) {
	perDegree := 1.0
	for i, part := range parts {
		if i > 0 && part.value() >= 60 {
			word := [...]string{"", "minutes", "seconds"}[i]
			return 0, 0, refuse("carry them over or check the digits", "%s %s of the %s are not below 60", word, part.text, name)
		}
		if i > 0 {
			deg *= 60
			perDegree *= 60
		}
		deg += part.value()
		step = part.step() / perDegree
	}
	return deg / perDegree, step, nil
}
