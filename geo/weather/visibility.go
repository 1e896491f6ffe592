package weather

import (
	"regexp"

	"surgeonward/geo"
)

// Visibility is a horizontal visibility in metres, 0 to 160 km.
type Visibility struct {
	M        float64
	OrMore   bool // M or more: 9999, CAVOK, P6SM, 10SM of an automatic station
	LessThan bool // less than M: 0000, M1/4SM; how much less is unknown
	// NoDirection says that the station cannot see in which direction it varies.
	NoDirection bool
}

// DirectionalVisibility is the visibility toward a direction: the lowest one, or a
// second one that differs much from the prevailing.
type DirectionalVisibility struct {
	Visibility
	TowardDeg float64 // true, one of eight
}

var (
	metresGroup      = regexp.MustCompile(`^(\d{4})(NDV|N|NE|E|SE|S|SW|W|NW)?$`)
	wholeMiles       = regexp.MustCompile(`^\d{1,2}$`)
	fractionOfMile   = regexp.MustCompile(`^([MP]?)(\d{1,2})/(\d{1,2})SM$`)
	wholeMilesGroup  = regexp.MustCompile(`^([MP]?)(\d{1,2})SM$`)
	compassDirection = map[string]float64{"N": 0, "NE": 45, "E": 90, "SE": 135, "S": 180, "SW": 225, "W": 270, "NW": 315}
)

// atLeastTenKm is what 9999 and CAVOK stand for. Annex 3, appendix 3, 4.2.4.4.
var atLeastTenKm = Visibility{M: 10000, OrMore: true}

// readMetres reads 0600, 9999, 0000, 9999NDV and 1200NE; direction is empty unless
// the group gives one.
func readMetres(group string) (v Visibility, direction string, ok bool) {
	m := metresGroup.FindStringSubmatch(group)
	if m == nil {
		return Visibility{}, "", false
	}
	switch m[1] {
	case "9999":
		v = atLeastTenKm
	case "0000":
		v = Visibility{M: 50, LessThan: true}
	default:
		v = Visibility{M: number(m[1])}
	}
	if m[2] == "NDV" {
		v.NoDirection = true
		return v, "", true
	}
	return v, m[2], true
}

// readMiles reads 10SM, 1/2SM, M1/4SM, P6SM, and 1 1/2SM from two groups. It
// returns how many groups it used, 0 when they are no visibility in miles.
func readMiles(groups []string) (v Visibility, used int) {
	if m := wholeMilesGroup.FindStringSubmatch(groups[0]); m != nil {
		return miles(m[1], number(m[2])), 1
	}
	if f, sign, ok := readFraction(groups[0]); ok {
		return miles(sign, f), 1
	}
	if len(groups) > 1 && wholeMiles.MatchString(groups[0]) {
		if f, sign, ok := readFraction(groups[1]); ok && sign == "" {
			return miles("", number(groups[0])+f), 2
		}
	}
	return Visibility{}, 0
}

// readFraction accepts the fractions that are in use: of halves down to sixteenths
// and below one. 11/2SM, a mixed number that has lost its space, is none of them.
func readFraction(group string) (fraction float64, sign string, ok bool) {
	m := fractionOfMile.FindStringSubmatch(group)
	if m == nil {
		return 0, "", false
	}
	top, bottom := number(m[2]), number(m[3])
	switch bottom {
	case 2, 4, 8, 16:
		return top / bottom, m[1], top > 0 && top < bottom
	}
	return 0, "", false
}

func miles(sign string, n float64) Visibility {
	return Visibility{M: n * geo.StatuteMile, OrMore: sign == "P", LessThan: sign == "M"}
}
