package weather

import (
	"regexp"
	"slices"
)

// CeilingState says how much is known of a ceiling.
type CeilingState string

const (
	// CeilingKnown: the ceiling is at the height given.
	CeilingKnown CeilingState = "known"
	// CeilingNone: there is proof of no ceiling below the height given.
	CeilingNone CeilingState = "none"
	// CeilingUnknown: the message does not tell. Never to be taken for clear.
	CeilingUnknown CeilingState = "unknown"
)

// noCeilingBelowM is the height up to which every message reports all cloud that
// makes a ceiling: 1500 m (5000 ft), Annex 3, appendix 3, 4.5.4.1.
const noCeilingBelowM = 1500

// Ceiling returns the height in metres above the aerodrome of the lowest layer
// that covers more than half the sky (BKN or OVC), or the vertical visibility of an
// obscured sky. Definition: FAA Aeronautical Information Manual; for layers also
// Regulation (EU) 2021/2237, where they count only below 6000 m.
//
//   - CeilingKnown: m is the ceiling.
//   - CeilingNone: a code for clear sky, or only FEW and SCT; no ceiling below m,
//     which is 1500.
//   - CeilingUnknown: no cloud in the message, VV///, a layer whose amount is
//     missing or whose base is missing and might count, or a group that could not
//     be read and might have been a layer. The ceiling is at most m where some
//     layer could be read; otherwise m is 0.
func (c Conditions) Ceiling() (m float64, state CeilingState) {
	var lowest *Layer
	unknown := c.Sky == nil || slices.ContainsFunc(c.Unread, mayBeCloud)
	if c.Sky != nil {
		for i, l := range c.Sky.Layers {
			switch {
			case l.Cover == CoverUnknown:
				unknown = true
			case l.Cover == Few || l.Cover == Scattered:
			case !l.BaseKnown:
				unknown = true
			case lowest == nil || l.BaseM < lowest.BaseM:
				lowest = &c.Sky.Layers[i]
			}
		}
	}
	switch {
	case lowest != nil && unknown:
		return lowest.BaseM, CeilingUnknown
	case lowest != nil:
		return lowest.BaseM, CeilingKnown
	case unknown || len(c.Unread) > 0: // clear is proved only by a message read in full
		return 0, CeilingUnknown
	default:
		return noCeilingBelowM, CeilingNone
	}
}

// cloudLike is wide on purpose: it is used on groups that could not be read, where
// a slip of one letter may hide the lowest layer.
var cloudLike = regexp.MustCompile(`^(FEW|SCT|BKN|OVC|VV|/).*|^[A-Z0-9/]{0,4}[0-9O/]{2,3}(CB|TCU|///)?$`)

func mayBeCloud(group string) bool { return cloudLike.MatchString(group) }
