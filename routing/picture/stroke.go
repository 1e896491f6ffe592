package picture

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"golang.org/x/image/vector"
)

// stroke draws lines of a width around a point, their ends and corners square.
func (c *canvas) stroke(s Shape, at Point, width float64, ink color.Color) {
	const reach = 12 * Fine // pixels of the PNG around the point that a mark may cover
	x, y := whole(at.X), whole(at.Y)
	half := width * Fine / 2
	r := vector.NewRasterizer(2*reach, 2*reach)
	for _, line := range s {
		for k := 1; k < len(line); k++ {
			side(r, line[k-1], line[k], half, reach)
		}
	}
	mask := image.NewAlpha(image.Rect(0, 0, 2*reach, 2*reach))
	r.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	// The rasterizer takes no rectangle that reaches beyond the picture; this does.
	draw.DrawMask(c.img, image.Rect(x-reach, y-reach, x+reach, y+reach), image.NewUniform(ink), image.Point{}, mask, image.Point{}, draw.Over)
}

// side adds one straight line, half a width longer at each end. All are traced the same way
// around, so that where they overlap stays covered.
func side(r *vector.Rasterizer, from, to Point, half, reach float64) {
	dx, dy := to.X-from.X, to.Y-from.Y
	length := math.Hypot(dx, dy)
	if length == 0 {
		return
	}
	dx, dy = half*dx/length, half*dy/length
	corner := func(p Point, along, across float64) (float32, float32) {
		return float32(p.X*Fine + reach + along*dx - across*dy), float32(p.Y*Fine + reach + along*dy + across*dx)
	}
	r.MoveTo(corner(from, -1, -1))
	r.LineTo(corner(to, 1, -1))
	r.LineTo(corner(to, 1, 1))
	r.LineTo(corner(from, -1, 1))
	r.ClosePath()
}
