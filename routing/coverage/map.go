package coverage

import (
	"fmt"
	"io"
	"math"

	"github.com/paulmach/orb"

	"surgeonward/routing/picture"
)

// Colours of the bands from the soonest on: the sequential palette viridis (van der
// Walt and Smith 2015, read off at seven even steps, from memory), which gets
// lighter evenly and is told apart with any colour vision; reversed, so that
// the darkest waits longest. NotReached has a hatching besides.
var Colours = []string{"#fde725", "#90d743", "#35b779", "#21918c", "#31688e", "#443983", "#440154"}

// PaletteName is what the colours are called, for the legend.
const PaletteName = "viridis, reversed"

// notReached is how what nobody reaches looks.
var notReached = picture.Fill{Colour: "#bdbdbd", Hatch: picture.Rising, Ink: "#757575"}

// Mark is a place to be drawn on a map.
type Mark struct {
	Name string
	At   orb.Point
	Kind MarkKind
}

// MarkKind is how a place is drawn.
type MarkKind string

// The kinds of mark: a cross for a hospital with surgeons, a triangle for a base of
// aircraft, a ring for a choice of siting, or what a change adds.
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
	WidthPx int    // 0: 900
	ID      string // begins ids in an SVG that shares a page with others
}

// WriteSVG draws the map as SVG: the bands as areas, a legend and a scale bar. It needs a
// grid.
func (m *Map) WriteSVG(w io.Writer) error {
	p, err := m.draw()
	if err != nil {
		return err
	}
	return p.WriteSVG(w)
}

// WritePNG draws the same as PNG, twice as fine.
func (m *Map) WritePNG(w io.Writer) error {
	p, err := m.draw()
	if err != nil {
		return err
	}
	return p.WritePNG(w)
}

func (m *Map) draw() (*picture.Picture, error) {
	r := m.Result
	if r.Demand.Grid == nil {
		return nil, ErrNoGrid
	}
	s := newSheet(m.Title, m.Note, m.ID, r.Demand.Grid, m.WidthPx, 330)
	s.paint(notReached, func(c int) bool { return !r.Outcomes[c].Reached })
	for k := len(Colours) - 1; k >= 0; k-- {
		s.paint(picture.Fill{Colour: Colours[k]}, func(c int) bool { return bandOf(r.Outcomes[c].Seconds()) == k })
	}
	s.marks(m.Marks)
	s.words(13, 22, "Minutes to a surgeon")
	from := 0.0
	for k, limit := range BandsS {
		s.entry(picture.Fill{Colour: Colours[k]}, fmt.Sprintf("%.0f to %.0f", from, limit/60))
		from = limit / 60
	}
	s.entry(picture.Fill{Colour: Colours[len(BandsS)]}, fmt.Sprintf("over %.0f", from))
	s.entry(notReached, "not reached")
	s.words(11, 20, "Colours: "+PaletteName)
	s.keys(m.Marks, "new")
	s.scale()
	return s.p, nil
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
