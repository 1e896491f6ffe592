package position

import (
	"math"
	"regexp"
	"strings"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// Plus codes as in the Open Location Code specification: five pairs of digits, each
// dividing the cell into 20 by 20, then up to five digits that each divide it into
// five rows and four columns.
const (
	codeDigits    = "23456789CFGHJMPQRVWX"
	codeSeparator = 8 // digits before the plus sign
	codePairs     = 10
	maxCodeDigits = 15
	gridRows      = 5
	gridColumns   = 4
	// The smallest cell in parts of a degree.
	codeLatParts = 8000 * 3125 // 20^3 for the pairs below a degree, 5^5
	codeLonParts = 8000 * 1024 // 4^5
)

const codeHint = "write a full code like 8CQ4GHCR+2V"

var codeShape = regexp.MustCompile(`^([0-9A-Z]+\+[0-9A-Z]*|\+[A-Z0-9]*[A-Z][A-Z0-9]*)( .*)?$`)

// readPlusCode reads a full plus code, padded or not.
func readPlusCode(text string) (Parsed, bool, error) {
	m := codeShape.FindStringSubmatch(text)
	if m == nil {
		return Parsed{}, false, nil
	}
	parsed, err := parsePlusCode(m[1], m[2])
	return parsed, true, err
}

func parsePlusCode(code, words string) (Parsed, error) {
	before, after, _ := strings.Cut(code, "+")
	digits := strings.TrimRight(before, "0")
	padding := len(before) - len(digits)
	for _, c := range digits + after {
		if !strings.ContainsRune(codeDigits, c) {
			return Parsed{}, refuse("use only the digits and letters "+codeDigits, "%q is never part of a plus code", string(c))
		}
	}
	switch {
	case len(before) > codeSeparator || len(before)%2 != 0 || len(after) == 1 || digits+after == "":
		return Parsed{}, refuse(codeHint, "the plus sign is not after eight digits, or one digit follows it, so the plus code is not whole")
	case padding > 0 && (len(before) < codeSeparator || padding%2 != 0 || after != "" || digits == ""):
		return Parsed{}, refuse(codeHint, "zeros in a plus code fill it up in pairs to the plus sign, and nothing follows")
	case len(before) < codeSeparator:
		return Parsed{}, refuse("give the full code, with eight digits before the plus sign", "this is a short plus code, which needs a place to start from")
	case words != "":
		return Parsed{}, refuse("write only the code", "%q follows a full plus code", strings.TrimSpace(words))
	}
	digits += after
	digits = digits[:min(len(digits), maxCodeDigits)]
	south, west, height, width := codeCell(digits)
	if south >= 90 || west >= 180 {
		return Parsed{}, refuse("check the first two digits", "the plus code lies beyond 90 degrees north or 180 degrees east")
	}
	centre := orb.Point{west + width/2, south + height/2}
	return Parsed{Point: centre, Format: PlusCode, UncertaintyM: halfDiagonal(centre.Lat(), height, width)}, nil
}

// codeCell returns the south-west corner and the size in degrees of a code's cell.
func codeCell(digits string) (south, west, height, width float64) {
	var lat, lon int64 // in parts of a degree from the south pole and from 180 W
	latSize, lonSize := int64(400*codeLatParts), int64(400*codeLonParts)
	for i := 0; i < len(digits); i++ {
		digit := int64(strings.IndexByte(codeDigits, digits[i]))
		switch {
		case i >= codePairs:
			latSize, lonSize = latSize/gridRows, lonSize/gridColumns
			lat += digit / gridColumns * latSize
			lon += digit % gridColumns * lonSize
		case i%2 == 0:
			latSize /= 20
			lat += digit * latSize
		default:
			lonSize /= 20
			lon += digit * lonSize
		}
	}
	return float64(lat)/codeLatParts - 90, float64(lon)/codeLonParts - 180,
		float64(latSize) / codeLatParts, float64(lonSize) / codeLonParts
}

// FormatPlusCode writes p as a full plus code of 2, 4, 6, 8 or 10 to 15 digits (10
// is a cell of 1/8000 degree, some 14 m). The latitude 90 falls into the last cell
// south of it.
func FormatPlusCode(p orb.Point, digits int) (string, error) {
	if err := geo.Check(p); err != nil {
		return "", &Error{Reason: err.Error()}
	}
	if digits < 2 || digits > maxCodeDigits || digits < codePairs && digits%2 != 0 {
		return "", refuse("", "a plus code has 2, 4, 6, 8 or 10 to %d digits, not %d", maxCodeDigits, digits)
	}
	lat := min(parts(p.Lat()+90, codeLatParts), 180*codeLatParts-1)
	lon := parts(p.Lon()+180, codeLonParts) % (360 * codeLonParts)
	var code [maxCodeDigits]byte
	for i := maxCodeDigits - 1; i >= codePairs; i-- {
		code[i] = codeDigits[lat%gridRows*gridColumns+lon%gridColumns]
		lat, lon = lat/gridRows, lon/gridColumns
	}
	for i := codePairs - 2; i >= 0; i -= 2 {
		code[i], code[i+1] = codeDigits[lat%20], codeDigits[lon%20]
		lat, lon = lat/20, lon/20
	}
	if digits < codeSeparator {
		return string(code[:digits]) + strings.Repeat("0", codeSeparator-digits) + "+", nil
	}
	return string(code[:codeSeparator]) + "+" + string(code[codeSeparator:digits]), nil
}

// parts counts the whole parts of a degree in an angle. A decimal such as 20.1 is
// not exact in binary: what is within a millionth of the next part is that part.
func parts(deg, perDegree float64) int64 {
	return int64(math.Floor(deg*perDegree + 1e-6))
}
