package coverage

import (
	"cmp"
	"fmt"
	"html"
	"io"
	"math"
	"strings"

	"github.com/paulmach/orb"
)

// Colours of the bands from the soonest on: the sequential palette viridis (van der
// Walt and Smith 2015, read off at seven even steps, from memory), which gets
// lighter evenly and is told apart with any colour vision; reversed, so that
// the darkest waits longest. NotReached has a hatching besides.
var Colours = []string{"#fde725", "#90d743", "#35b779", "#21918c", "#31688e", "#443983", "#440154"}

// PaletteName is what the colours are called, for the legend.
const PaletteName = "viridis, reversed"

// notReached is the colour of what nobody reaches.
const notReached = "#bdbdbd"

// Mark is a place to be drawn on a map.
type Mark struct {
	Name string
	At   orb.Point
	Kind MarkKind
}

// MarkKind is how a place is drawn.
type MarkKind string

// The kinds of mark: a cross for a hospital with surgeons, a triangle for a base of
// aircraft, a ring for a choice of siting.
const (
	MarkHospital MarkKind = "hospital"
	MarkBase     MarkKind = "base"
	MarkChoice   MarkKind = "choice"
)

// Map is a picture of minutes.
type Map struct {
	Title   string
	Note    string // the caution; drawn below
	Result  *Result
	Marks   []Mark
	WidthPx int // 0: 900
}

// The margins of the picture, in pixels.
const (
	titlePx  = 34
	legendPx = 190
	notePx   = 44
)

// WriteSVG draws the map: the bands as areas, north up, on the grid's own equal-area
// plane; a legend and a scale bar. It needs a grid.
func (m *Map) WriteSVG(w io.Writer) error {
	r := m.Result
	g := r.Demand.Grid
	if g == nil {
		return ErrNoGrid
	}
	width := cmp.Or(m.WidthPx, 900)
	perCell := float64(width-legendPx) / float64(g.Columns)
	height := max(int(math.Ceil(perCell*float64(g.Rows))), 330)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" font-family="sans-serif" font-size="13" role="img">`+"\n",
		width, height+titlePx+notePx, width, height+titlePx+notePx)
	fmt.Fprintf(&b, "<title>%s</title>\n", html.EscapeString(m.Title))
	fmt.Fprintf(&b, `<defs><pattern id="none" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="%s"/><path d="M0 6L6 0" stroke="#757575"/></pattern></defs>`+"\n", notReached)
	fmt.Fprintf(&b, `<rect width="100%%" height="100%%" fill="#ffffff"/><text x="10" y="22" font-size="16">%s</text>`+"\n", html.EscapeString(m.Title))
	paint := func(fill string, in func(cell int) bool) {
		if d := g.path(g.outline(in), perCell, titlePx+perCell*float64(g.Rows)); d != "" {
			fmt.Fprintf(&b, `<path fill="%s" fill-rule="evenodd" d="%s"/>`+"\n", fill, d)
		}
	}
	paint("url(#none)", func(c int) bool { return !r.Outcomes[c].Reached })
	for k := len(Colours) - 1; k >= 0; k-- {
		paint(Colours[k], func(c int) bool { return bandOf(r.Outcomes[c].Seconds()) == k })
	}
	for _, mark := range m.Marks {
		g.draw(&b, mark, perCell, titlePx+perCell*float64(g.Rows))
	}
	m.legend(&b, width-legendPx+14, perCell)
	if m.Note != "" {
		for i, line := range wrap(m.Note, width/7) {
			fmt.Fprintf(&b, `<text x="10" y="%d" font-size="11" fill="#424242">%s</text>`+"\n", height+titlePx+16+14*i, html.EscapeString(line))
		}
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// bandOf is the first band whose limit a time is within; beyond all: the number
// of bands. Nobody reached: -1.
func bandOf(s float64) int {
	if math.IsInf(s, 1) {
		return -1
	}
	for k, limit := range BandsS {
		if s <= limit {
			return k
		}
	}
	return len(BandsS)
}

// path is the outline in pixels.
func (g *Grid) path(pieces []piece, perCell, baseline float64) string {
	var b strings.Builder
	for _, p := range pieces {
		for _, ring := range p.rings {
			for i, c := range ring[:len(ring)-1] {
				b.WriteByte("ML"[min(i, 1)])
				b.WriteString(decimal(perCell*float64(c.column), 1) + " " + decimal(baseline-perCell*float64(c.row), 1))
			}
			b.WriteByte('Z')
		}
	}
	return b.String()
}

func (g *Grid) draw(b *strings.Builder, m Mark, perCell, baseline float64) {
	at := g.project(orb.Point{g.Lon0 + math.Remainder(m.At.Lon()-g.Lon0, 360), m.At.Lat()})
	x, y := perCell*(at[0]-g.X0)/g.CellM, baseline-perCell*(at[1]-g.Y0)/g.CellM
	shape := map[MarkKind]string{
		MarkHospital: "M-5 0H5M0 -5V5", MarkBase: "M0 -6L5 4H-5Z", MarkChoice: "M-7 0A7 7 0 1 0 7 0A7 7 0 1 0 -7 0Z",
	}[m.Kind]
	fmt.Fprintf(b, `<g transform="translate(%s %s)"><title>%s</title><path d="%s" fill="none" stroke="#ffffff" stroke-width="4"/><path d="%s" fill="none" stroke="#000000" stroke-width="2"/></g>`+"\n",
		decimal(x, 1), decimal(y, 1), html.EscapeString(m.Name), shape, shape)
}

func (m *Map) legend(b *strings.Builder, x int, perCell float64) {
	y := titlePx + 6
	text := func(dx, size int, s string) {
		fmt.Fprintf(b, `<text x="%d" y="%d" font-size="%d">%s</text>`+"\n", x+dx, y+12, size, html.EscapeString(s))
	}
	text(0, 13, "Minutes to a surgeon")
	y += 22
	entry := func(fill, words string) {
		fmt.Fprintf(b, `<rect x="%d" y="%d" width="22" height="15" fill="%s" stroke="#616161" stroke-width="0.5"/>`, x, y, fill)
		text(30, 13, words)
		y += 21
	}
	from := 0.0
	for k, limit := range BandsS {
		entry(Colours[k], fmt.Sprintf("%.0f to %.0f", from, limit/60))
		from = limit / 60
	}
	entry(Colours[len(BandsS)], fmt.Sprintf("over %.0f", from))
	entry("url(#none)", "not reached")
	text(0, 11, "Colours: "+PaletteName)
	y += 20
	text(0, 11, "+ hospital with surgeons")
	y += 15
	text(0, 11, "\u25b3 base of aircraft")
	if perCell > 0 {
		km := scaleKM(m.Result.Demand.Grid.CellM / perCell)
		length := km * 1000 / m.Result.Demand.Grid.CellM * perCell
		y += 24
		fmt.Fprintf(b, `<path d="M%d %dh%s" stroke="#000000" stroke-width="3"/>`, x, y, decimal(length, 1))
		y += 4
		text(0, 11, fmt.Sprintf("%g km", km))
	}
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

// wrap breaks words into lines of some letters.
func wrap(text string, letters int) (out []string) {
	line := ""
	for _, word := range strings.Fields(text) {
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
