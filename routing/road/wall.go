package road

import "math"

const (
	// touchM is how near two lines of the plane may come before they count as
	// touching, in metres: above the rounding within a region of 1,000 km, some
	// 1e-10 m, and below what a path round the end of a wall of 100 km, clearM
	// off it, keeps from that end.
	touchM = 1e-8

	// onM is how near a barrier a point counts as lying on it, in metres.
	onM = 1e-3

	// clearM is how far from a barrier's corner a path passes, in metres, so that
	// a path along a barrier does not touch it. It lengthens a path by less than
	// twice that at each corner. Gaps narrower than that are closed to roads.
	clearM = 0.1
)

// wall is one edge of a barrier or of an area's border.
type wall struct {
	a, b  xy
	len   float64
	shore int32 // the line it belongs to
}

func newWall(a, b xy, shore int32) wall {
	return wall{a: a, b: b, len: b.minus(a).length(), shore: shore}
}

// blocks reports whether the straight way from p to q, of the length given,
// touches the wall.
func (w *wall) blocks(p, q xy, length float64) bool {
	way, along := q.minus(p), w.b.minus(w.a)
	tol := touchM * length
	da, db := way.cross(w.a.minus(p)), way.cross(w.b.minus(p))
	if (da > tol && db > tol) || (da < -tol && db < -tol) {
		return false
	}
	tol = touchM * w.len
	dp, dq := along.cross(p.minus(w.a)), along.cross(q.minus(w.a))
	if (dp > tol && dq > tol) || (dp < -tol && dq < -tol) {
		return false
	}
	if math.Abs(dp) > tol || math.Abs(dq) > tol {
		return true
	}
	// In one line: they touch if they overlap along it.
	if w.len == 0 {
		return true
	}
	sp, sq := p.minus(w.a).dot(along)/w.len, q.minus(w.a).dot(along)/w.len
	return max(sp, sq) >= -touchM && min(sp, sq) <= w.len+touchM
}

// meets returns how far along the way from p to q it crosses the wall, as a
// share, and false where it does not.
func (w *wall) meets(p, q xy) (float64, bool) {
	way, along := q.minus(p), w.b.minus(w.a)
	det := way.cross(along)
	if det == 0 {
		return 0, false
	}
	from := w.a.minus(p)
	t, u := from.cross(along)/det, from.cross(way)/det
	return t, t > 0 && t < 1 && u >= 0 && u <= 1
}

// nearest returns the point of the wall that is nearest to p, and its share of
// the way from a to b.
func (w *wall) nearest(p xy) (xy, float64) {
	along := w.b.minus(w.a)
	share := p.minus(w.a).dot(along) / (w.len * w.len)
	switch {
	case !(share > 0):
		return w.a, 0
	case share >= 1:
		return w.b, 1
	}
	return between(w.a, w.b, share), share
}
