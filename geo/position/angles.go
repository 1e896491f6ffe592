package position

import (
	"slices"
	"strings"
)

const (
	lettersHint = "write it like 45 31.2N 029 24.6W"
	pointHint   = "write a decimal point, and a space after the comma between two numbers, as in 45.52, -29.41"
)

// readAngles reads decimal degrees, degrees and minutes, and degrees, minutes and
// seconds.
func readAngles(text string) (Parsed, bool, error) {
	tokens, rest, err := tokenize(text)
	if err != nil {
		return Parsed{}, true, err
	}
	if rest != "" || !slices.ContainsFunc(tokens, func(t token) bool { return t.kind == numeral }) {
		return Parsed{}, false, nil
	}
	if err := refuseDecimalComma(text, tokens); err != nil {
		return Parsed{}, true, err
	}
	parsed, err := parseAngles(tokens)
	return parsed, true, err
}

// refuseDecimalComma refuses "45,52" and "45,52 29,41" but not "45.52,29.41": a
// comma between two digits is a separator only where a point shows the decimals.
func refuseDecimalComma(text string, tokens []token) error {
	isDigit := func(c byte) bool { return c >= '0' && c <= '9' }
	for i := 1; i+1 < len(text); i++ {
		if text[i] == ',' && isDigit(text[i-1]) && isDigit(text[i+1]) && !strings.Contains(text, ".") {
			return refuse(pointHint, "the comma in %q may be a decimal comma", wordAt(text, i))
		}
	}
	dividers := 0
	for _, t := range tokens {
		if t.kind == divider {
			dividers++
		}
	}
	if dividers > 1 {
		return refuse(pointHint, "there are %d commas or semicolons", dividers)
	}
	return nil
}

func parseAngles(tokens []token) (Parsed, error) {
	if err := markSeconds(tokens); err != nil {
		return Parsed{}, err
	}
	halves, err := halve(tokens)
	if err != nil {
		return Parsed{}, err
	}
	first, err := parseAngle("first angle", halves[0])
	if err != nil {
		return Parsed{}, err
	}
	second, err := parseAngle("second angle", halves[1])
	if err != nil {
		return Parsed{}, err
	}
	lat, lon, err := inOrder(first, second)
	if err != nil {
		return Parsed{}, err
	}
	point, err := inRange(lat.deg, lon.deg, lat.text, lon.text)
	if err != nil {
		return Parsed{}, err
	}
	format := [...]Format{"", DecimalDegrees, DegreesMinutes, DegreesSeconds}[lat.parts]
	return Parsed{Point: point, Format: format, UncertaintyM: halfDiagonal(lat.deg, lat.step, lon.step)}, nil
}

// halve splits the tokens into the two angles: by hemisphere letters, which all stand
// before or all stand after their angle; else by a comma; else by degree marks; else
// there must be two numbers.
func halve(tokens []token) (halves [2][]token, err error) {
	var begins []int // where an angle begins
	is := func(i int, k kind) bool { return i >= 0 && i < len(tokens) && tokens[i].kind == k }
	has := func(k kind) bool { return slices.ContainsFunc(tokens, func(t token) bool { return t.kind == k }) }
	for i := range tokens {
		var begin bool
		switch {
		case tokens[0].kind == hemisphere:
			begin = is(i, hemisphere)
		case has(hemisphere):
			begin = i == 0 || is(i-1, hemisphere)
		case has(divider):
			begin = i == 0 || is(i-1, divider)
		case has(degreeMark), has(colon):
			begin = is(i, numeral) && (is(i+1, degreeMark) || is(i+1, colon) && !is(i-1, colon))
		default:
			begin = is(i, numeral)
		}
		if begin {
			begins = append(begins, i)
		}
	}
	if len(begins) == 0 || begins[0] != 0 {
		return halves, refuse(lettersHint, "the text begins with %q", tokens[0].text)
	}
	if len(begins) == 1 {
		return halves, refuse("write latitude first, then longitude", "this is one angle, and a position needs two")
	}
	if len(begins) > 2 {
		return halves, refuse(lettersHint, "this is %d angles or numbers, and it is not clear which is which", len(begins))
	}
	halves = [2][]token{tokens[:begins[1]], tokens[begins[1]:]}
	// The divider belongs to neither angle, on whichever side of the cut it fell.
	if n := len(halves[0]); halves[0][n-1].kind == divider {
		halves[0] = halves[0][:n-1]
	} else if halves[1][0].kind == divider {
		halves[1] = halves[1][1:]
	}
	return halves, nil
}

// angle is latitude or longitude as written.
type angle struct {
	deg, step float64
	parts     int    // 1 degrees, 2 and minutes, 3 and seconds
	letter    string // N, S, E, W or none
	signed    bool
	text      string // for messages
}

func parseAngle(name string, tokens []token) (angle, error) {
	var a angle
	var parts []number
	marks := []kind{degreeMark, minuteMark, secondMark}
	for i, t := range tokens {
		switch {
		case t.kind == numeral && len(parts) < 3:
			parts = append(parts, t.num)
		case t.kind == hemisphere && a.letter == "" && (i == 0 || i == len(tokens)-1):
			a.letter = t.text
		case i > 0 && tokens[i-1].kind == numeral && t.kind == marks[len(parts)-1]:
		case i > 0 && tokens[i-1].kind == numeral && t.kind == colon && i+1 < len(tokens) && tokens[i+1].kind == numeral:
		default:
			return a, refuse(lettersHint, "%q is out of place in the %s", t.text, name)
		}
	}
	if len(parts) == 0 {
		return a, refuse(lettersHint, "the %s has no number", name)
	}
	degrees := parts[0]
	a.parts, a.signed, a.text = len(parts), degrees.signed, degrees.String()+a.letter
	if a.letter != "" && a.signed {
		return a, refuse("write either a sign or a letter", "the %s has both a sign and the letter %s", name, a.letter)
	}
	for i, part := range parts {
		if i > 0 && part.signed {
			return a, refuse("put the sign before the degrees", "a sign stands before the minutes or seconds of the %s", name)
		}
		if i < len(parts)-1 && !part.isWhole() {
			return a, refuse("only the last number of an angle may have decimals", "%s in the %s has decimals, and another number after it", part.text, name)
		}
	}
	if len(degrees.whole()) > 3 {
		return a, refuse("put a space between degrees, minutes and seconds", "%s degrees in the %s has more than three digits", degrees.text, name)
	}
	parts[0] = number{text: degrees.text}
	var err error
	a.deg, a.step, err = sumParts(name, parts)
	if degrees.negative || a.letter == "S" || a.letter == "W" {
		a.deg = -a.deg
	}
	if a.parts > 1 {
		a.text = strings.TrimSpace(degrees.String() + " " + parts[1].text + a.letter)
	}
	return a, err
}

// inOrder says which of two angles is the latitude.
func inOrder(first, second angle) (lat, lon angle, err error) {
	isLat := func(a angle) bool { return a.letter == "N" || a.letter == "S" }
	switch {
	case first.parts != second.parts:
		return lat, lon, refuse("write both with the same parts", "one angle has %d numbers and the other %d", first.parts, second.parts)
	case first.letter == "" && second.letter == "":
		if first.parts > 1 && !first.signed && !second.signed {
			return lat, lon, refuse(lettersHint, "hemispheres are missing")
		}
		return first, second, nil
	case first.letter == "" || second.letter == "":
		return lat, lon, refuse(lettersHint, "only one angle has a hemisphere letter")
	case isLat(first) && isLat(second):
		return lat, lon, refuse("one needs E or W", "both angles are latitudes, %s and %s", first.letter, second.letter)
	case !isLat(first) && !isLat(second):
		return lat, lon, refuse("one needs N or S", "both angles are longitudes, %s and %s", first.letter, second.letter)
	case isLat(first):
		return first, second, nil
	}
	return second, first, nil
}
