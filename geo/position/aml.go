package position

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"surgeonward/geo"
)

const amlHint = `take the message from its source again, whole, from A"ML=1; to ml=`

// readAML reads the text message of Advanced Mobile Location, ETSI TS 103 625,
// version 1: fields name=value between semicolons, the last of which states the
// length of the whole message in characters.
//
// Of the message only the place (lt, lg), its radius (rd), the level of confidence
// (lc), the time (top) and the method (pm) are taken. The identities of subscriber
// (si) and handset (ei) and of the network are dropped here, and no refusal quotes
// any value, so that they cannot come out that way either.
//
// The fields are from published examples, read second hand; the letters of pm other
// than G and W, and the message of a handset that found no position, are from memory.
func readAML(text string) (Parsed, bool, error) {
	text = trimMessage(text)
	if !isAML(text) {
		return Parsed{}, false, nil
	}
	if err := checkMessage("the AML message", text); err != nil {
		return Parsed{}, true, err
	}
	parsed, err := parseAML(text)
	return parsed, true, err
}

// isAML knows the head of the message, also where the quotation mark was changed or
// lost on the way.
func isAML(text string) bool {
	rest, ok := strings.CutPrefix(text, "A")
	if !ok {
		return false
	}
	for _, quote := range []string{`"`, "“", "”", "''", "'", ""} {
		if strings.HasPrefix(rest, quote+"ML=") {
			return true
		}
	}
	return false
}

// amlFields are the fields that are read; all others are passed over unread.
var amlFields = []string{"lt", "lg", "rd", "top", "lc", "pm", "ml"}

// amlTime is how the time of positioning is written.
const amlTime = "20060102150405"

// amlMethods are the letters of pm in words.
var amlMethods = map[string]string{"G": "satellite navigation", "W": "Wi-Fi", "C": "mobile network cell"}

func parseAML(text string) (Parsed, error) {
	head, body, _ := strings.Cut(text, ";")
	if _, version, _ := strings.Cut(head, "="); version != "1" {
		return Parsed{}, refuse("give the position in another way", "only version 1 of the AML text message is read")
	}
	m := amlMessage{values: map[string]string{}}
	for field := range strings.SplitSeq(strings.TrimSuffix(body, ";"), ";") {
		name, value, _ := strings.Cut(field, "=")
		for _, known := range amlFields {
			if name != known {
				continue
			}
			if _, twice := m.values[name]; twice {
				m.fault(name + " is given twice")
			}
			m.values[name] = value
		}
	}
	parsed := m.position()
	m.length(text)
	if len(m.faults) > 0 {
		return Parsed{}, &Error{Reason: "AML message: " + strings.Join(m.faults, ", "), Hint: amlHint}
	}
	return parsed, nil
}

// amlMessage gathers what is wrong with a message, all of it at once.
type amlMessage struct {
	values map[string]string
	faults []string
}

// fault notes a reason once, so that a message of nothing but repetitions stays small.
func (m *amlMessage) fault(reason string) {
	if !slices.Contains(m.faults, reason) {
		m.faults = append(m.faults, reason)
	}
}

// position takes the fields; what it returns counts only without faults.
func (m *amlMessage) position() Parsed {
	if m.values["pm"] == "N" || m.values["rd"] == "N" {
		m.fault("the handset found no position")
		return Parsed{}
	}
	lat, latOK := m.decimal("lt", "latitude", 90)
	lon, lonOK := m.decimal("lg", "longitude", 180)
	radius, _ := m.decimal("rd", "radius in metres", math.Pi*geo.MeanRadius)
	confidence, _ := m.decimal("lc", "confidence in percent", 100)
	if radius.negative {
		m.fault("rd, the radius in metres, is below 0")
	}
	if confidence.negative {
		m.fault("lc, the confidence in percent, is below 0")
	}
	if !latOK || !lonOK {
		return Parsed{}
	}
	point, err := pointOf(lat, lon)
	if err != nil { // decimal has seen to it
		m.fault("the position is out of range")
		return Parsed{}
	}
	p := Parsed{Point: point, Format: AML, UncertaintyM: math.Max(minUncertaintyM, radius.value()),
		ConfidencePct: confidence.value(), MeasuredAt: m.time(), Method: m.method()}
	if point[0] == 0 && point[1] == 0 {
		p.Note = "0, 0 is also what a device sends that has no position: check it"
	}
	return p
}

// decimal takes a plain decimal number of a size up to limit.
func (m *amlMessage) decimal(field, meaning string, limit float64) (number, bool) {
	text, given := m.values[field]
	n, ok := wholeDecimal(text)
	switch {
	case !given || text == "":
		m.fault(field + ", the " + meaning + ", is missing")
	case !ok:
		m.fault(field + ", the " + meaning + ", is not a plain number")
	case math.Abs(n.value()) > limit:
		m.fault(field + ", the " + meaning + ", is out of range")
	default:
		return n, true
	}
	return number{}, false
}

// time takes the instant of positioning, which is in UTC.
func (m *amlMessage) time() time.Time {
	t, err := time.Parse(amlTime, m.values["top"])
	if err != nil || len(m.values["top"]) != len(amlTime) {
		m.fault("top, the time of positioning, is not 14 digits of date and time in UTC")
		return time.Time{}
	}
	return t
}

func (m *amlMessage) method() string {
	word, ok := amlMethods[m.values["pm"]]
	if !ok {
		m.fault("pm, the method, is not one of G, W, C and N")
	}
	return word
}

// length holds the message to its stated length: a lost character can be the sign of
// the longitude.
func (m *amlMessage) length(text string) {
	stated, err := strconv.Atoi(m.values["ml"])
	actual := utf8.RuneCountInString(text)
	switch {
	case err != nil || stated <= 0:
		m.fault("ml, the length, is missing: its end may be lost")
	case stated != actual:
		m.fault("it states " + strconv.Itoa(min(stated, maxMessage)) + " characters and has " + strconv.Itoa(actual) + ": some were lost or changed, perhaps a sign")
	}
}
