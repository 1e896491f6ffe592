package position

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

const gridHint = "write it like 26 north 311782 5043543, or use an MGRS reference"

// A zone with a hemisphere or band, or a hemisphere or polar letter alone, before or
// after an easting of five digits or more and a northing, perhaps with units.
var (
	gridNumbers = `([+-]?[0-9]{5,}(?:\.[0-9]+)?) ?M?E?[ ,;]+([+-]?[0-9]+(?:\.[0-9]+)?) ?M?N?`
	gridZone    = `([0-9]{1,3})? ?([A-Z]|NORTH|SOUTH)`
	gridFront   = regexp.MustCompile(`^` + gridZone + `[ ,]+` + gridNumbers + `$`)
	gridBack    = regexp.MustCompile(`^` + gridNumbers + `[ ,]+` + gridZone + `$`)
)

// readGrid reads UTM and UPS coordinates. After a zone, N and S can be a hemisphere
// or one of the latitude bands of that letter, and people mean either. Band N is in
// the northern hemisphere anyway, but band S is too: "38S" is refused wherever both
// readings exist.
func readGrid(text string) (Parsed, bool, error) {
	var zone, letter, east, north string
	if m := gridFront.FindStringSubmatch(text); m != nil {
		zone, letter, east, north = m[1], m[2], m[3], m[4]
	} else if m := gridBack.FindStringSubmatch(text); m != nil {
		east, north, zone, letter = m[1], m[2], m[3], m[4]
	} else {
		return Parsed{}, false, nil
	}
	eastM, _, _ := cutSigned(east)
	northM, _, _ := cutSigned(north)
	var parsed Parsed
	var err error
	if zone == "" {
		parsed, err = readUPS(letter, eastM.value(), northM.value())
	} else {
		number, _ := strconv.Atoi(zone)
		parsed, err = readUTM(number, letter, eastM.value(), northM.value())
	}
	parsed.UncertaintyM = math.Max(minUncertaintyM, math.Hypot(eastM.step(), northM.step())/2)
	return parsed, true, err
}

func readUTM(zone int, letter string, eastM, northM float64) (Parsed, error) {
	north := UTM{Zone: zone, North: true, EastingM: eastM, NorthingM: northM}
	south := UTM{Zone: zone, North: false, EastingM: eastM, NorthingM: northM}
	switch letter {
	case "N", "NORTH":
		return utmParsed(north)
	case "SOUTH":
		return utmParsed(south)
	case "S":
		// Every northing of band S is also one in the southern hemisphere, at 50 to 59 S.
		if asBand, err := north.Point(); err == nil && inBand(asBand, "S") {
			return Parsed{}, refuse("write "+strconv.Itoa(zone)+" north or "+strconv.Itoa(zone)+" south",
				"the S after zone %d may be the southern hemisphere or the northern latitude band S", zone)
		}
		return utmParsed(south)
	}
	band := strings.Index(latitudeBands, letter)
	if band < 0 {
		return Parsed{}, refuse(gridHint, "there is no latitude band %s", letter)
	}
	if noSuchZone(zone, letter[0]) {
		return Parsed{}, refuse("use zone 31, 33, 35 or 37", "there is no zone %dX", zone)
	}
	u := south
	if letter >= "N" {
		u = north
	}
	parsed, err := utmParsed(u)
	if err == nil && !inBand(parsed.Point, letter) {
		return Parsed{}, refuse(gridHint, "the northing is not in latitude band %s", letter)
	}
	return parsed, err
}

func utmParsed(u UTM) (Parsed, error) {
	point, err := u.Point()
	if err != nil {
		return Parsed{}, err
	}
	parsed := Parsed{Point: point, Format: UTMGrid}
	if standardZone(point) != u.Zone {
		parsed.Note = outsideZoneNote
	}
	return parsed, nil
}

// inBand allows for a coordinate cut to whole metres at the edge of a band.
func inBand(p orb.Point, letter string) bool {
	const edge = 1e-5
	lo, hi := bandLimits(strings.Index(latitudeBands, letter))
	return p.Lat() >= lo-edge && p.Lat() < hi+edge
}

// noSuchZone says whether a zone is left out of band X for Svalbard.
func noSuchZone(zone int, band byte) bool {
	return band == 'X' && (zone == 32 || zone == 34 || zone == 36)
}

func readUPS(letter string, eastM, northM float64) (Parsed, error) {
	u := UPS{EastingM: eastM, NorthingM: northM}
	switch letter {
	case "N", "NORTH", "Y", "Z":
		u.North = true
	case "S", "SOUTH", "A", "B":
	default:
		return Parsed{}, refuse(gridHint, "grid coordinates need a zone, or N or S for the polar grids, not %s alone", letter)
	}
	if west := letter == "A" || letter == "Y"; west && eastM > upsFalseM || (letter == "B" || letter == "Z") && eastM < upsFalseM {
		return Parsed{}, refuse("check the letter", "the easting is not in the half of the polar grid that %s names", letter)
	}
	point, err := u.Point()
	if err != nil {
		return Parsed{}, err
	}
	return Parsed{Point: point, Format: UPSGrid}, nil
}
