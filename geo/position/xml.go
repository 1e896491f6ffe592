package position

import (
	"errors"
	"math"
	"strings"

	"surgeonward/geo"
	"surgeonward/geo/xmltree"
)

// The namespaces of the documents that hold a position. Read second hand in
// published examples; the one of CAP from memory.
const (
	nsPIDF    = "urn:ietf:params:xml:ns:pidf"           // RFC 3863
	nsGeopriv = "urn:ietf:params:xml:ns:pidf:geopriv10" // RFC 4119
	nsHELD    = "urn:ietf:params:xml:ns:geopriv:held"   // RFC 5985
	nsConf    = "urn:ietf:params:xml:ns:geopriv:conf"   // RFC 7459
	nsGML     = "http://www.opengis.net/gml"
	nsShape   = "http://www.opengis.net/pidflo/1.0"
	nsCAP     = "urn:oasis:names:tc:emergency:cap:1.2"
)

var xmlLimits = xmltree.Limits{Bytes: maxMessage, Depth: 32, Elements: 2000}

// readXML reads what begins like an XML document: a PIDF-LO location object, or the
// circle of a CAP alert.
func readXML(text string) (Parsed, bool, error) {
	text = trimMessage(text)
	if !strings.HasPrefix(text, "<") {
		return Parsed{}, false, nil
	}
	if err := checkMessage("the XML document", text); err != nil {
		return Parsed{}, true, err
	}
	root, err := xmltree.Parse([]byte(text), xmlLimits)
	if err != nil {
		var fault *xmltree.Error
		if errors.As(err, &fault) {
			err = &Error{Reason: "the XML document cannot be read: " + fault.Error(), Hint: "send it whole"}
		}
		return Parsed{}, true, err
	}
	var parsed Parsed
	switch {
	case root.Is("", "circle"), root.Is(nsCAP, "circle"), root.Is(nsCAP, "alert"):
		parsed, err = parseCAP(root)
	default:
		parsed, err = parsePIDFLO(root)
	}
	return parsed, true, err
}

// radiusM takes a length in metres between 0 and half the way around the Earth.
func radiusM(name, text string, unitM float64) (float64, error) {
	n, ok := wholeDecimal(text)
	if !ok || n.negative {
		return 0, &Error{Reason: name + " is not a plain decimal number of 0 or more", Hint: "write it in plain digits"}
	}
	m := n.value() * unitM
	if m > math.Pi*geo.MeanRadius {
		return 0, &Error{Reason: name + " is more than half the way around the Earth", Hint: "check its unit"}
	}
	return math.Max(minUncertaintyM, m), nil
}
