package have

import (
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities/strictjson"
	"surgeonward/geo/position"
	"surgeonward/geo/xmltree"
)

// The namespaces of GML: version 1.0 of HAVE uses the first, version 2.0 the second;
// the third is a slip that senders make.
var gmlSpaces = []string{"http://www.opengis.net/gml", "http://www.opengis.net/gml/3.2", "http://opengis.net/gml"}

// word takes one of the standard's words; anything else is a fault and no word.
func word[W ~string](d *decoder, h *Hospital, e *xmltree.Element, words ...W) W {
	if e == nil || e.Text == "" {
		return ""
	}
	if w := W(e.Text); slices.Contains(words, w) {
		return w
	}
	known := make([]string, len(words))
	for i, w := range words {
		known[i] = string(w)
	}
	d.fault(h, e.Line, e.Name.Local+" "+strictjson.Quote(e.Text)+" is not a word of the standard and counts as not said: use "+strings.Join(known, ", "))
	return ""
}

// instant takes an xs:dateTime that has a zone.
func (d *decoder) instant(h *Hospital, e *xmltree.Element) time.Time {
	if e == nil || e.Text == "" {
		return time.Time{}
	}
	if t, err := time.Parse(time.RFC3339, e.Text); err == nil {
		return t.UTC()
	}
	detail := e.Name.Local + " " + strictjson.Quote(e.Text) + " is not a time that can be read: write it like 2031-03-14T21:40:00Z"
	if _, err := time.Parse("2006-01-02T15:04:05", e.Text); err == nil {
		detail = e.Name.Local + " " + strictjson.Quote(e.Text) + " has no zone, so that its age is not known: end it with Z or +02:00"
	}
	d.fault(h, e.Line, detail)
	return time.Time{}
}

// point takes the pos of a gml:Point in the element: latitude, then longitude, and
// perhaps a height, which is passed over.
func (d *decoder) point(h *Hospital, e *xmltree.Element) *orb.Point {
	if e == nil {
		return nil
	}
	var pos *xmltree.Element
	for _, space := range gmlSpaces {
		if found := e.Child(space, "Point").Child(space, "pos"); found != nil && pos == nil {
			pos = found
		}
	}
	fields := strings.Fields(pos.Content())
	if len(fields) < 2 || len(fields) > 3 {
		d.fault(h, e.Line, "the position has no gml:Point with a gml:pos of latitude and longitude")
		return nil
	}
	parsed, err := position.Parse(fields[0] + " " + fields[1])
	if err != nil || parsed.Format != position.DecimalDegrees {
		detail := "write latitude, then longitude, in decimal degrees"
		if err != nil {
			detail = err.Error()
		}
		d.fault(h, e.Line, "the position cannot be read: "+detail)
		return nil
	}
	return &parsed.Point
}
