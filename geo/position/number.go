package position

import (
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// minUncertaintyM keeps a long row of decimals from claiming more than any device
// can know, and u=0 from claiming perfection.
const minUncertaintyM = 0.001

// degreeM is one degree of a great circle in metres.
const degreeM = geo.MeanRadius * math.Pi / 180

// number is an unsigned decimal as written, with the sign that stood before it.
type number struct {
	text     string // digits, at most one point
	negative bool
	signed   bool
}

// value never fails: the text is digits and a point, and few enough to be finite.
func (n number) value() float64 {
	v, _ := strconv.ParseFloat(n.text, 64)
	if n.negative {
		return -v
	}
	return v
}

func (n number) whole() string {
	whole, _, _ := strings.Cut(n.text, ".")
	return whole
}

func (n number) isWhole() bool { return !strings.Contains(n.text, ".") }

// step is the size of a unit in the last place written.
func (n number) step() float64 {
	_, decimals, _ := strings.Cut(n.text, ".")
	return math.Pow(10, -float64(len(decimals)))
}

func (n number) String() string {
	if n.negative {
		return "-" + n.text
	}
	return n.text
}

// cutNumber takes an unsigned decimal off the front of a text: digits, or digits, a
// point and digits. Without one at the front ok is false and the rest is the text.
func cutNumber(text string) (n number, rest string, ok bool) {
	i := countDigits(text)
	if i == 0 {
		return number{}, text, false
	}
	if i < len(text) && text[i] == '.' {
		if d := countDigits(text[i+1:]); d > 0 {
			i += 1 + d
		}
	}
	return number{text: text[:i]}, text[i:], true
}

// cutSigned is cutNumber with an optional sign in front.
func cutSigned(text string) (n number, rest string, ok bool) {
	signed := text != "" && (text[0] == '+' || text[0] == '-')
	unsigned := text
	if signed {
		unsigned = text[1:]
	}
	n, rest, ok = cutNumber(unsigned)
	if !ok {
		return number{}, text, false
	}
	n.signed, n.negative = signed, signed && text[0] == '-'
	return n, rest, true
}

func countDigits(text string) int {
	i := 0
	for i < len(text) && text[i] >= '0' && text[i] <= '9' {
		i++
	}
	return i
}

// halfDiagonal returns half the diagonal in metres of a cell at latitude lat that is
// latStep by lonStep degrees.
func halfDiagonal(lat, latStep, lonStep float64) float64 {
	northM := latStep * degreeM
	eastM := lonStep * degreeM * math.Cos(lat*math.Pi/180)
	return math.Max(minUncertaintyM, math.Hypot(northM, eastM)/2)
}

// inRange makes a point of latitude and longitude, or says which is out of range,
// and whether the other order would do. The texts are the numbers as written.
func inRange(lat, lon float64, latText, lonText string) (orb.Point, error) {
	const latFault, lonFault = "latitude %s is outside -90 to 90 degrees", "longitude %s is outside -180 to 180 degrees"
	latOK, lonOK := math.Abs(lat) <= 90, math.Abs(lon) <= 180
	switch {
	case latOK && lonOK:
		return orb.Point{lon, lat}, nil
	case latOK:
		return orb.Point{}, refuse("write longitude west as a negative number or with W", lonFault, lonText)
	case lonOK && math.Abs(lon) <= 90 && math.Abs(lat) <= 180:
		return orb.Point{}, refuse("the two may be swapped: write latitude first, then longitude", latFault, latText)
	case lonOK:
		return orb.Point{}, refuse("write latitude first, then longitude", latFault, latText)
	}
	return orb.Point{}, refuse("write latitude first, then longitude", latFault+", "+lonFault, latText, lonText)
}

const maxAltitudeM = 100_000

func altitude(n number) (*float64, error) {
	v := n.value()
	if math.Abs(v) > maxAltitudeM {
		return nil, refuse("write it in metres or leave it out", "altitude %s is outside -%d to %d metres", n.String(), maxAltitudeM, maxAltitudeM)
	}
	return &v, nil
}
