package position

import (
	"math"
	"regexp"
	"strings"

	"surgeonward/geo"
)

const geoURIHint = "write it like geo:45.52,-29.41;u=40"

// The parameter syntax of RFC 5870 section 3.3, in upper case.
var geoParameter = regexp.MustCompile(`^([0-9A-Z-]+)(?:=((?:[][:&+$0-9A-Z_.!~*'()-]|%[0-9A-F]{2})+))?$`)

// readGeoURI reads a geo URI, RFC 5870: latitude, longitude and perhaps altitude in
// plain decimals, then crs, u and other parameters in that order, each at most once.
// Other parameters have no meaning here and are passed over, as the RFC lets one.
func readGeoURI(text string) (Parsed, bool, error) {
	body, ok := strings.CutPrefix(text, "GEO:")
	if !ok {
		return Parsed{}, false, nil
	}
	parsed, err := parseGeoURI(body)
	return parsed, true, err
}

func parseGeoURI(body string) (Parsed, error) {
	if strings.ContainsAny(body, "?# ") {
		return Parsed{}, refuse(geoURIHint, "a geo URI has no spaces, no question mark and no number sign")
	}
	fields := strings.Split(body, ";")
	written := strings.Split(fields[0], ",")
	if len(written) < 2 || len(written) > 3 {
		return Parsed{}, refuse(geoURIHint, "a geo URI has latitude, longitude and perhaps altitude between commas, not %d numbers", len(written))
	}
	numbers := make([]number, len(written))
	for i, w := range written {
		n, rest, ok := cutSigned(w)
		if !ok || rest != "" || n.signed && !n.negative {
			return Parsed{}, refuse(geoURIHint, "%q is not a plain decimal number as a geo URI has them, without plus sign or exponent", w)
		}
		numbers[i] = n
	}
	lat, lon := numbers[0], numbers[1]
	point, err := inRange(lat.value(), lon.value(), lat.String(), lon.String())
	if err != nil {
		return Parsed{}, err
	}
	parsed := Parsed{Point: point, Format: GeoURI, UncertaintyM: halfDiagonal(lat.value(), lat.step(), lon.step())}
	if len(numbers) == 3 {
		if parsed.AltitudeM, err = altitude(numbers[2]); err != nil {
			return Parsed{}, err
		}
	}
	return geoParameters(parsed, fields[1:])
}

func geoParameters(parsed Parsed, fields []string) (Parsed, error) {
	seen := map[string]bool{}
	for i, field := range fields {
		match := geoParameter.FindStringSubmatch(field)
		if match == nil {
			return Parsed{}, refuse(geoURIHint, "%q is not a parameter of a geo URI", field)
		}
		name, value := match[1], match[2]
		if seen[name] {
			return Parsed{}, refuse(geoURIHint, "the parameter %q is given twice", strings.ToLower(name))
		}
		seen[name] = true
		switch name {
		case "CRS":
			if i != 0 {
				return Parsed{}, refuse("put crs before every other parameter", "the parameter crs is out of order")
			}
			if value != "WGS84" {
				return Parsed{}, refuse("give the position in WGS 84", "coordinate system %q is not known", strings.ToLower(value))
			}
		case "U":
			if i > 1 || i == 1 && !seen["CRS"] {
				return Parsed{}, refuse("put u before every parameter but crs", "the parameter u is out of order")
			}
			n, rest, ok := cutNumber(value)
			if !ok || rest != "" {
				return Parsed{}, refuse(geoURIHint, "uncertainty %q is not a plain decimal number of metres", value)
			}
			if n.value() > math.Pi*geo.MeanRadius {
				return Parsed{}, refuse("give u in metres", "uncertainty %s is more than half the way around the Earth", n.text)
			}
			parsed.UncertaintyM = math.Max(minUncertaintyM, n.value())
		}
	}
	return parsed, nil
}
