package position

import (
	"strings"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// Format names a way of writing a position, in words fit for a screen.
type Format string

// The formats that Parse recognises.
const (
	DecimalDegrees Format = "decimal degrees"
	DegreesMinutes Format = "degrees and minutes"
	DegreesSeconds Format = "degrees, minutes and seconds"
	GeoURI         Format = "geo URI"
	ISO6709        Format = "ISO 6709"
	MGRS           Format = "MGRS"
	UTMGrid        Format = "UTM"
	UPSGrid        Format = "UPS"
	PlusCode       Format = "plus code"

	AML       Format = "AML text message"
	PIDFLO    Format = "PIDF-LO location"
	CAPCircle Format = "CAP circle"
)

// Parsed is what Parse made of a text.
type Parsed struct {
	// Point is in range; at a pole its longitude is 0, whatever was written (RFC
	// 5870 section 3.4.2).
	Point  orb.Point
	Format Format
	// UncertaintyM is the radius in metres within which the place lies, going by
	// the way it is written: half the diagonal of the cell of the last digit, or the
	// u of a geo URI. It says nothing of how well the place was measured. It is
	// never less than 0.001.
	UncertaintyM float64
	// AltitudeM is the altitude in metres as written, nil where none was: in a geo URI
	// above the WGS 84 ellipsoid.
	AltitudeM *float64
	// ConfidencePct is how sure a message is that the place lies within UncertaintyM,
	// in percent; 0 where it does not say. Messages use 68 and 95 among others, so that
	// radii of different confidence must not be compared as they are.
	ConfidencePct float64
	// MeasuredAt is when a message says the place was measured; zero where it does not.
	MeasuredAt time.Time
	// Method is how a message says the place was measured, in words; "" where it does not.
	Method string
	// Note is empty, or a sentence on something odd that was accepted.
	Note string
}

// reader reads one family of formats. The second result says whether the text has
// the shape of that family at all; only then does its error count.
type reader func(text string) (Parsed, bool, error)

var readers = []reader{readGeoURI, readISO6709, readPlusCode, readGrid, readMGRS, readAngles}

const everyFormat = `write it like 45.52, -29.41 or 45 31.2N 029 24.6W or 45°31'12"N 29°24'36"W, ` +
	"or as a geo URI, an ISO 6709 string, an MGRS or UTM coordinate or a full plus code"

// Parse reads a position of up to 200 characters, or a message between machines that
// holds one: an AML text message, a PIDF-LO document or a CAP circle, up to 64 kB. Of a
// message only the position, its uncertainty and how it was measured are taken; who
// and whose telephone it is about is dropped unread, and a refusal quotes none of it.
//
// In other text latitude comes first, unless hemisphere letters say otherwise. Upper
// and lower case, the several minus signs, quotation marks and spaces are all one. A
// refusal is an [*Error].
//
// Decimal degrees without letters are signed, north and east positive. Degrees with
// minutes need hemisphere letters or a sign, since a bare "45 31.2, 29 24.6" is more
// often a letter left out than a place in the east.
func Parse(text string) (Parsed, error) {
	if parsed, is, err := readMessage(text); is {
		return parsed, err
	}
	cleaned, err := clean(text)
	if err != nil {
		return Parsed{}, err
	}
	return choose(cleaned, readers)
}

// choose lets every reader try, so that a text with two meanings is not taken for
// whichever is tried first.
func choose(text string, readers []reader) (Parsed, error) {
	var found []Parsed
	var firstErr error
	for _, read := range readers {
		parsed, shaped, err := read(text)
		switch {
		case !shaped:
		case err == nil:
			found = append(found, parsed)
		case firstErr == nil:
			firstErr = err
		}
	}
	switch {
	case len(found) > 0:
		for _, other := range found[1:] {
			if geo.Distance(found[0].Point, other.Point) > minUncertaintyM {
				return Parsed{}, refuse("write it in another way", "this can be read as %s and as %s, which are different places",
					string(found[0].Format), string(other.Format))
			}
		}
		return tidy(found[0]), nil
	case firstErr != nil:
		return Parsed{}, firstErr
	}
	if _, rest, _ := tokenize(text); rest != "" {
		return Parsed{}, refuse(everyFormat, "%q is not part of a position in any known format", wordAt(text, len(text)-len(rest)))
	}
	return Parsed{}, refuse(everyFormat, "there is no number in this position")
}

// wordAt returns the word of a text around byte i.
func wordAt(text string, i int) string {
	word, _, _ := strings.Cut(text[strings.LastIndexByte(text[:i], ' ')+1:], " ")
	return word
}

// tidy gives each place one longitude at the poles and one zero.
func tidy(p Parsed) Parsed {
	if p.Point.Lat() == 90 || p.Point.Lat() == -90 {
		p.Point[0] = 0
	}
	p.Point[0] += 0 // -0 becomes 0
	p.Point[1] += 0
	return p
}
