package export

import (
	"bytes"
	"strings"
	"time"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-kml/v3"

	"surgeonward/facilities"
)

// folders are the kinds in the order in which people look for them.
var folders = []struct {
	kind facilities.Kind
	name string
}{
	{facilities.Hospital, "Hospitals"},
	{facilities.LandingSite, "Landing sites"},
	{facilities.Airfield, "Airfields"},
	{facilities.Base, "Bases"},
}

// KML writes the facilities as placemarks (OGC KML 2.2), a folder for each kind, and
// one for the hospitals' pads that are not at the door. Details are extended data.
func KML(l *facilities.List) ([]byte, error) {
	document := kml.Document(kml.Name("Facilities"))
	for _, folder := range folders {
		items := kml.Folder(kml.Name(folder.name))
		for _, f := range l.OfKind(folder.kind) {
			items.Append(placemark(f))
		}
		document.Append(items)
	}
	pads := kml.Folder(kml.Name("Hospital pads"))
	for _, f := range l.OfKind(facilities.Hospital) {
		if f.Pad != nil && f.Pad.Position != f.Position {
			pads.Append(kml.Placemark(kml.Name("Pad of "+f.Name), data("hospital", f.ID), at(f.Pad.Position)))
		}
	}
	document.Append(pads)
	var b bytes.Buffer
	err := kml.KML(document).WriteIndent(&b, "", " ")
	return b.Bytes(), err
}

func placemark(f *facilities.Facility) kml.Element {
	pairs := []string{"id", f.ID, "kind", string(f.Kind)}
	if len(f.Capabilities) > 0 {
		pairs = append(pairs, "capabilities", strings.Join(f.Capabilities, " "))
	}
	if f.Kind == facilities.Hospital {
		pairs = append(pairs, "accepting", string(f.Accepting.State))
		if f.Accepting.Reason != "" {
			pairs = append(pairs, "accepting_reason", f.Accepting.Reason)
		}
		if !f.Accepting.Until.IsZero() {
			pairs = append(pairs, "accepting_until", f.Accepting.Until.UTC().Format(time.RFC3339Nano))
		}
	}
	return kml.Placemark(kml.Name(f.Name), data(pairs...), at(f.Position))
}

// data makes extended data of names and values in turn.
func data(pairs ...string) kml.Element {
	e := kml.ExtendedData()
	for i := 0; i+1 < len(pairs); i += 2 {
		e.Append(kml.Data(pairs[i], kml.Value(pairs[i+1])))
	}
	return e
}

func at(p orb.Point) kml.Element {
	return kml.Point(kml.Coordinates(kml.Coordinate{Lon: p.Lon(), Lat: p.Lat()}))
}
