package coverage

import (
	"fmt"
	"io"
	"slices"

	"surgeonward/routing/picture"
)

// The colours of a difference: the diverging palette RdBu of eleven steps (ColorBrewer 2.0,
// Brewer and Harrower, from memory), which is told apart with any colour vision; its middle is
// darker here, so that it shows on white. Later is hatched besides, and the two ends of being
// reached have hatchings of their own.
var (
	SoonerColours = []string{"#d1e5f0", "#92c5de", "#4393c3", "#2166ac", "#053061"}
	LaterColours  = []string{"#fddbc7", "#f4a582", "#d6604d", "#b2182b", "#67001f"}
)

// SameColour is that of a difference of less than the first of DifferenceMin.
const SameColour = "#ececec"

// DifferencePaletteName is what the colours are called, for the legend.
const DifferencePaletteName = "RdBu (ColorBrewer)"

// DifferenceMin is from how many minutes on each colour stands for a difference.
var DifferenceMin = []float64{1, 2, 5, 10, 20}

var (
	onlyAfter  = picture.Fill{Colour: SoonerColours[4], Hatch: picture.Dots, Ink: "#ffffff"}
	onlyBefore = picture.Fill{Colour: LaterColours[4], Hatch: picture.Grid, Ink: "#ffffff"}
)

// laterFill is hatched in what shows on the colour.
func laterFill(step int) picture.Fill {
	ink := LaterColours[4]
	if step > 2 {
		ink = "#ffffff"
	}
	return picture.Fill{Colour: LaterColours[step], Hatch: picture.Falling, Ink: ink}
}

// DifferenceMap is a picture of what a change does, in minutes.
type DifferenceMap struct {
	Title      string
	Note       string // the caution; drawn below
	Difference *Difference
	Marks      []Mark
	WidthPx    int    // 0: 900
	ID         string // begins ids in an SVG that shares a page with others
}

// WriteSVG draws the map as SVG. It needs a grid.
func (m *DifferenceMap) WriteSVG(w io.Writer) error {
	p, err := m.draw()
	if err != nil {
		return err
	}
	return p.WriteSVG(w)
}

// WritePNG draws the same as PNG, twice as fine.
func (m *DifferenceMap) WritePNG(w io.Writer) error {
	p, err := m.draw()
	if err != nil {
		return err
	}
	return p.WritePNG(w)
}

// steps is how many steps a cell is from no difference, sooner being positive; 0 too where
// somebody is reached on one side only, or on none.
func (d *Difference) steps(cell int) int {
	gain := -d.LongerS[cell] / 60
	switch d.Effect(cell) {
	case Sooner:
		return stepsOf(gain)
	case Later:
		return -stepsOf(-gain)
	}
	return 0
}

func stepsOf(minutes float64) (n int) {
	for n < len(DifferenceMin) && minutes >= DifferenceMin[n] {
		n++
	}
	return n
}

func (m *DifferenceMap) draw() (*picture.Picture, error) {
	d := m.Difference
	if d.Before.Demand.Grid == nil {
		return nil, ErrNoGrid
	}
	s := newSheet(m.Title, m.Note, m.ID, d.Before.Demand.Grid, m.WidthPx, 470)
	effect := func(want ...Effect) func(int) bool {
		return func(c int) bool { return slices.Contains(want, d.Effect(c)) && d.steps(c) == 0 }
	}
	s.paint(notReached, effect(NeverAtAll))
	s.paint(picture.Fill{Colour: SameColour}, effect(Same, Sooner, Later))
	for k := range DifferenceMin {
		s.paint(picture.Fill{Colour: SoonerColours[k]}, func(c int) bool { return d.steps(c) == k+1 })
		s.paint(laterFill(k), func(c int) bool { return d.steps(c) == -k-1 })
	}
	s.paint(onlyAfter, effect(OnlyAfter))
	s.paint(onlyBefore, effect(OnlyBefore))
	s.marks(m.Marks)
	m.legend(s)
	return s.p, nil
}

func (m *DifferenceMap) legend(s *sheet) {
	s.words(13, 22, "Minutes to a surgeon")
	last := len(DifferenceMin) - 1
	span := func(k int) string {
		if k == last {
			return fmt.Sprintf("over %g", DifferenceMin[k])
		}
		return fmt.Sprintf("%g to %g", DifferenceMin[k], DifferenceMin[k+1])
	}
	for k := last; k >= 0; k-- {
		s.entry(picture.Fill{Colour: SoonerColours[k]}, span(k)+" sooner")
	}
	s.entry(picture.Fill{Colour: SameColour}, fmt.Sprintf("less than %g either way", DifferenceMin[0]))
	for k := range DifferenceMin {
		s.entry(laterFill(k), span(k)+" later")
	}
	s.entry(onlyAfter, "reached only after")
	s.entry(onlyBefore, "no longer reached")
	s.entry(notReached, "not reached")
	s.words(11, 20, "Colours: "+DifferencePaletteName)
	s.keys(m.Marks, "new or moved")
	s.scale()
}

// Added are the marks after a change, with a ring around those that were not there before.
func Added(before, after []Mark) []Mark {
	out := slices.Clone(after)
	for _, m := range after {
		if !slices.Contains(before, m) {
			out = append(out, Mark{Name: m.Name, At: m.At, Kind: MarkChoice})
		}
	}
	return out
}
