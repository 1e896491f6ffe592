package routing

import (
	"math"

	"surgeonward/geo"
)

// vectors are places as unit vectors, in columns.
type vectors struct{ x, y, z []float64 }

func (v *vectors) add(at geo.Vector) {
	v.x, v.y, v.z = append(v.x, at[0]), append(v.y, at[1]), append(v.z, at[2])
}

func (v *vectors) at(i int) geo.Vector { return geo.Vector{v.x[i], v.y[i], v.z[i]} }

// chord2 is the square of the chord between a place and another, on the unit sphere.
func (v *vectors) chord2(i int, at geo.Vector) float64 {
	dx, dy, dz := v.x[i]-at[0], v.y[i]-at[1], v.z[i]-at[2]
	return dx*dx + dy*dy + dz*dz
}

// chords are the distances in metres through the Earth from all places to one,
// never more than over it, but for some nanometres by rounding.
func (v *vectors) chords(at geo.Vector, out []float64) {
	xs := v.x[:len(out)]
	ys, zs := v.y[:len(xs)], v.z[:len(xs)]
	for i, x := range xs {
		dx, dy, dz := x-at[0], ys[i]-at[1], zs[i]-at[2]
		out[i] = geo.MeanRadius * math.Sqrt(dx*dx+dy*dy+dz*dz)
	}
}
