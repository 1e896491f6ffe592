// Package picture holds a flat drawing, such as a map with its legend, that is written as
// SVG or as PNG: the same shapes, colours and hatchings in both.
package picture

import (
	"math"
	"slices"
)

// Point is a place in pixels, from the upper left corner.
type Point struct{ X, Y float64 }

// Fill is how a surface looks. A hatching says without colour what the colour says.
type Fill struct {
	Colour string // as in "#fde725"
	Hatch  Hatch
	Ink    string // colour of the hatching
}

// Hatch is what is drawn over a surface.
type Hatch string

// The hatchings.
const (
	Plain   Hatch = ""
	Rising  Hatch = "rising"  // lines from the lower left
	Falling Hatch = "falling" // lines from the upper left
	Grid    Hatch = "grid"    // upright and level lines
	Dots    Hatch = "dots"
)

// Shape is a mark: lines around the point that it marks.
type Shape [][]Point

// The shapes of marks.
var (
	Plus     = Shape{{{-5, 0}, {5, 0}}, {{0, -5}, {0, 5}}}
	Triangle = Shape{{{0, -6}, {5, 4}, {-5, 4}, {0, -6}}}
	Ring     = Shape{ring(7)}
)

func ring(radius float64) (out []Point) {
	const corners = 24
	for k := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / corners)
		out = append(out, Point{radius * cos, radius * sin})
	}
	return append(out, out[0])
}

// Picture is a drawing. What is added later covers what was there.
type Picture struct {
	Width, Height int    // pixels
	Title         string // for who cannot see it
	ID            string // begins the ids in an SVG that shares a page with others
	items         []item
}

// item is one of the things that are drawn.
type item struct {
	kind   kind
	fill   Fill
	rings  [][]Point
	at     Point
	width  float64
	height float64
	size   float64
	words  string
	shape  Shape
}

type kind int

const (
	area kind = iota
	box
	text
	mark
)

// Area adds a surface within closed rings; what an even number of them has in it is a hole. In
// a PNG its corners are moved to whole pixels, so that neighbours meet without a seam.
func (p *Picture) Area(f Fill, rings [][]Point) {
	if len(rings) > 0 {
		p.items = append(p.items, item{kind: area, fill: f, rings: rings})
	}
}

// Box adds a rectangle.
func (p *Picture) Box(at Point, width, height float64, f Fill) {
	p.items = append(p.items, item{kind: box, fill: f, at: at, width: width, height: height})
}

// Text adds a line of words that begins at a point of its baseline. Letters that the font of
// a PNG does not have (it has Latin, Greek and Cyrillic ones) come out as empty boxes there.
func (p *Picture) Text(at Point, size float64, colour, words string) {
	p.items = append(p.items, item{kind: text, at: at, size: size, fill: Fill{Colour: colour}, words: words})
}

// Mark adds a mark in black on white; its name is for an SVG.
func (p *Picture) Mark(at Point, s Shape, name string) {
	p.items = append(p.items, item{kind: mark, at: at, shape: s, words: name})
}

// hatched are the fills that need a pattern, each once, in the order of their first use.
func (p *Picture) hatched() (out []Fill) {
	for i := range p.items {
		if f := p.items[i].fill; f.Hatch != Plain && !slices.Contains(out, f) {
			out = append(out, f)
		}
	}
	return out
}
