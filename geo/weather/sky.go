package weather

import (
	"regexp"

	"surgeonward/geo"
)

// Sky is what a message says of the cloud: layers, or a code for their absence.
type Sky struct {
	Clear  ClearCode // empty when there are layers
	Layers []Layer   // in the order given, which is upwards
}

// ClearCode is a code that says there is no cloud, or none that matters.
type ClearCode string

// The codes. SKC is no cloud at all; CLR none below 12 000 ft seen by an automatic
// station; NCD none detected by an automatic station; NSC none below 5000 ft (or
// the highest minimum sector altitude) and no CB or TCU, and CAVOK the same with
// visibility of 10 km or more and no significant weather.
const (
	SkyClear           ClearCode = "SKC"
	ClearBelow12000    ClearCode = "CLR"
	NoCloudDetected    ClearCode = "NCD"
	NoSignificantCloud ClearCode = "NSC"
	CAVOK              ClearCode = "CAVOK"
)

// Layer is a layer of cloud, or the depth one can see up into an obscured sky.
type Layer struct {
	Cover     Cover
	BaseM     float64 // above the aerodrome; 0 when not known
	BaseKnown bool
	Type      CloudType
}

// Cover is how much of the sky a layer covers.
type Cover string

// The amounts, in eighths: FEW 1-2, SCT 3-4, BKN 5-7, OVC 8. VV is an obscured sky
// with its vertical visibility in place of a base.
const (
	CoverUnknown Cover = ""
	Few          Cover = "FEW"
	Scattered    Cover = "SCT"
	Broken       Cover = "BKN"
	Overcast     Cover = "OVC"
	Obscured     Cover = "VV"
)

// CloudType is the kind of cloud where the message gives it.
type CloudType string

// The types that are reported; the empty one is any other, or not given.
const (
	Cumulonimbus    CloudType = "CB"
	ToweringCumulus CloudType = "TCU"
	TypeUnknown     CloudType = "///"
)

var (
	layerGroup    = regexp.MustCompile(`^(FEW|SCT|BKN|OVC|///)(\d{3}|///)(CB|TCU|///)?$`)
	verticalGroup = regexp.MustCompile(`^VV(\d{3}|///)$`)
	clearGroup    = regexp.MustCompile(`^(SKC|CLR|NCD|NSC)$`)
)

// readLayer reads BKN008, SCT025TCU, FEW///, //////CB, VV003 and VV///.
func readLayer(group string) (Layer, bool) {
	if m := verticalGroup.FindStringSubmatch(group); m != nil {
		return layer(Obscured, m[1], ""), true
	}
	m := layerGroup.FindStringSubmatch(group)
	if m == nil {
		return Layer{}, false
	}
	cover := Cover(m[1])
	if m[1] == "///" {
		cover = CoverUnknown
	}
	return layer(cover, m[2], m[3]), true
}

func layer(cover Cover, base, kind string) Layer {
	l := Layer{Cover: cover, Type: CloudType(kind)}
	if base != "///" {
		l.BaseM, l.BaseKnown = number(base)*100*geo.Foot, true
	}
	return l
}
