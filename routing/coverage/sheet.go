package coverage

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"surgeonward/routing/picture"
)

// The margins of a map, in pixels, and how high the land may be drawn.
const (
	titlePx   = 34
	legendPx  = 190
	entryPx   = 21
	linePx    = 14
	maxLandPx = 1400
)

// sheet is a map that is being drawn: the land on the left, north up, on the grid's own
// equal-area plane; the legend on the right; the note below.
type sheet struct {
	p        *picture.Picture
	g        *Grid
	perCell  float64 // pixels
	baseline float64 // where the southern border of the grid is
	x, y     float64 // where the legend goes on
}

// newSheet begins a map whose legend needs some pixels.
func newSheet(title, note, id string, g *Grid, widthPx int, legendHeight float64) *sheet {
	width := cmp.Or(widthPx, 900)
	titles, lines := wrap(title, width/9), wrap(note, width/7)
	top := titlePx + float64(20*(len(titles)-1))
	s := &sheet{g: g, x: float64(width - legendPx + 14), y: top + 6}
	s.perCell = min(float64(width-legendPx)/float64(g.Columns), maxLandPx/float64(g.Rows))
	s.baseline = top + s.perCell*float64(g.Rows)
	height := top + max(s.perCell*float64(g.Rows), legendHeight)
	s.p = &picture.Picture{Width: width, Height: int(math.Ceil(height)) + 16 + linePx*len(lines), Title: title, ID: id}
	for i, line := range titles {
		s.p.Text(picture.Point{X: 10, Y: float64(22 + 20*i)}, 16, black, line)
	}
	for i, line := range lines {
		s.p.Text(picture.Point{X: 10, Y: math.Ceil(height) + 16 + float64(linePx*i)}, 11, "#424242", line)
	}
	return s
}

const black = "#000000"

// paint fills the cells that are in.
func (s *sheet) paint(f picture.Fill, in func(cell int) bool) {
	var rings [][]picture.Point
	for _, piece := range s.g.outline(in) {
		for _, ring := range piece.rings {
			line := make([]picture.Point, len(ring))
			for i, c := range ring {
				line[i] = picture.Point{X: s.perCell * float64(c.column), Y: s.baseline - s.perCell*float64(c.row)}
			}
			rings = append(rings, line)
		}
	}
	s.p.Area(f, rings)
}

// shapes are how places are drawn.
var shapes = map[MarkKind]picture.Shape{MarkHospital: picture.Plus, MarkBase: picture.Triangle, MarkChoice: picture.Ring}

// marks draws the places that lie on the land's side of the map.
func (s *sheet) marks(all []Mark) {
	for _, m := range all {
		at := s.g.project(orb.Point{s.g.Lon0 + math.Remainder(m.At.Lon()-s.g.Lon0, 360), m.At.Lat()})
		x, y := s.perCell*(at[0]-s.g.X0)/s.g.CellM, s.baseline-s.perCell*(at[1]-s.g.Y0)/s.g.CellM
		if x >= 0 && x <= s.perCell*float64(s.g.Columns) && y >= s.baseline-s.perCell*float64(s.g.Rows) && y <= s.baseline {
			s.p.Mark(picture.Point{X: x, Y: y}, shapes[m.Kind], m.Name)
		}
	}
}

// words is a line of the legend.
func (s *sheet) words(size, below float64, text string) {
	s.p.Text(picture.Point{X: s.x, Y: s.y + 12}, size, black, text)
	s.y += below
}

// entry says what a fill means.
func (s *sheet) entry(f picture.Fill, words string) {
	s.p.Box(picture.Point{X: s.x, Y: s.y}, 22, 15, picture.Fill{Colour: "#616161"})
	s.p.Box(picture.Point{X: s.x + 0.5, Y: s.y + 0.5}, 21, 14, f)
	s.p.Text(picture.Point{X: s.x + 30, Y: s.y + 12}, 13, black, words)
	s.y += entryPx
}

// key says what a mark means.
func (s *sheet) key(kind MarkKind, words string) {
	s.p.Mark(picture.Point{X: s.x + 8, Y: s.y + 8}, shapes[kind], words)
	s.p.Text(picture.Point{X: s.x + 30, Y: s.y + 12}, 11, black, words)
	s.y += 17
}

// scale is a bar of a round length.
func (s *sheet) scale() {
	if !(s.perCell > 0) {
		return
	}
	km := scaleKM(s.g.CellM / s.perCell)
	s.y += 8
	s.p.Box(picture.Point{X: s.x, Y: s.y}, km*1000/s.g.CellM*s.perCell, 3, picture.Fill{Colour: black})
	s.y += 4
	s.words(11, linePx, fmt.Sprintf("%g km", km))
}

// scaleKM is a round length of some hundred pixels.
func scaleKM(metresPerPixel float64) float64 {
	most := metresPerPixel * 110 / 1000
	unit := math.Pow(10, math.Floor(math.Log10(most)))
	for _, k := range []float64{5, 2} {
		if k*unit <= most {
			return k * unit
		}
	}
	return unit
}

// keys say what the marks of a map mean.
func (s *sheet) keys(all []Mark, added string) {
	for _, k := range []struct {
		kind  MarkKind
		words string
	}{{MarkHospital, "hospital with surgeons"}, {MarkBase, "base of aircraft"}, {MarkChoice, added}} {
		if slices.ContainsFunc(all, func(m Mark) bool { return m.Kind == k.kind }) {
			s.key(k.kind, k.words)
		}
	}
}

// maxLines is how many lines a title or a note may have.
const maxLines = 6

// wrap breaks words into lines of some letters; what is longer is cut off.
func wrap(text string, letters int) (out []string) {
	line := ""
	for _, word := range strings.Fields(text) {
		if len(out) == maxLines-1 && len(line)+1+len(word) > letters {
			break
		}
		if line != "" && len(line)+1+len(word) > letters {
			out, line = append(out, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(out, line)
}
