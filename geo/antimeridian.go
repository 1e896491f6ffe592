package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// SplitAtAntimeridian cuts a line where it crosses longitude 180, as RFC 7946
// section 3.1.9 asks, and returns the pieces in order: the lines of a
// MultiLineString. Each segment is taken the shorter way round. At a cut one piece
// ends at exactly 180 or -180 and the next begins at exactly -180 or 180, at the
// same latitude, found along the straight line in longitude and latitude that RFC
// 7946 section 3.1.1 defines; an arc is to be cut after it has been drawn in short
// steps. A point on the antimeridian takes the sign of the side its line is on; a
// line that only touches it, or runs along it, is not cut. Fewer than two points
// are no line and give nil.
func SplitAtAntimeridian(line []orb.Point) []orb.LineString {
	if len(line) < 2 {
		return nil
	}
	var pieces []orb.LineString
	at := orb.Point{math.Remainder(line[0].Lon(), 360), line[0].Lat()}
	piece := orb.LineString{at}
	for _, next := range line[1:] {
		to := orb.Point{unwrapLon(at.Lon(), next.Lon()), next.Lat()}
		if edge := math.Copysign(180, to.Lon()); math.Abs(to.Lon()) > 180 {
			if at.Lon() != edge {
				share := (edge - at.Lon()) / (to.Lon() - at.Lon())
				at = orb.Point{edge, at.Lat() + share*(to.Lat()-at.Lat())}
				piece = append(piece, at)
			}
			if len(piece) > 1 { // a line that begins on the edge has nothing before it
				pieces = append(pieces, piece)
			}
			piece = orb.LineString{{-edge, at.Lat()}}
			to = orb.Point{unwrapLon(-edge, next.Lon()), to.Lat()}
		}
		piece = append(piece, to)
		at = to
	}
	return append(pieces, piece)
}

// unwrapLon returns lon plus the whole turns that bring it within 180 degrees of
// ref. Adding turns to lon, rather than a difference to ref, keeps its digits.
func unwrapLon(ref, lon float64) float64 {
	turns := math.Round((ref + lonDelta(ref, lon) - lon) / 360)
	return lon + 360*turns
}
