package coverage_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// drawing is a map of either kind.
type drawing interface {
	WriteSVG(io.Writer) error
	WritePNG(io.Writer) error
}

// cellsOf is a difference made by hand: minutes before and after, NaN where nobody is
// reached; the cells from west to east.
func cellsOf(t *testing.T, before, after []float64) *coverage.Difference {
	t.Helper()
	d := coverage.OnGrid(grid(t, square(middle, 5_000*float64(len(before)))[:1], 10_000), nil)
	require.GreaterOrEqual(t, len(d.Cells), len(before))
	result := func(minutes []float64) *coverage.Result {
		r := &coverage.Result{Demand: d, Outcomes: make([]coverage.Outcome, len(d.Cells)), Situation: "day"}
		for i, m := range minutes {
			if !math.IsNaN(m) {
				r.Outcomes[i].Best = routing.Best{Reached: true}
				r.Outcomes[i].Total.TypicalS = m * 60
			}
		}
		return r
	}
	difference, err := coverage.Compare(result(before), result(after))
	require.NoError(t, err)
	return difference
}

// shown is a map in both forms.
type shown struct {
	g   *coverage.Grid
	svg string
	png image.Image
}

func show(t *testing.T, m drawing, g *coverage.Grid) shown {
	t.Helper()
	var svg, first, again bytes.Buffer
	require.NoError(t, m.WriteSVG(&svg))
	wellFormed(t, svg.String())
	require.NoError(t, m.WritePNG(&first))
	require.NoError(t, m.WritePNG(&again))
	require.True(t, bytes.Equal(first.Bytes(), again.Bytes()), "the same bytes every time")
	img, err := png.Decode(&first)
	require.NoError(t, err)
	return shown{g, svg.String(), img}
}

// cell is what the SVG fills a cell with that has no neighbour of its kind, and what the PNG
// has there: the most frequent colour and whether there is another.
func (s shown) cell(t *testing.T, cell int) (svg, mostly string, hatched bool) {
	t.Helper()
	perCell := 710 / float64(s.g.Columns) // as wide as the picture is without its legend
	column, row := s.g.Place(cell)
	x, y := perCell*float64(column), 34+perCell*float64(s.g.Rows-row-1)
	pixels := func(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }
	shape := "M" + pixels(x) + " " + pixels(y+perCell) + "L" + pixels(x+perCell) + " " + pixels(y+perCell)
	for _, path := range regexp.MustCompile(`<path fill="([^"]*)" fill-rule="evenodd" d="([^"]*)"`).FindAllStringSubmatch(s.svg, -1) {
		if strings.Contains(path[2], shape) {
			svg = path[1]
		}
	}
	count := map[string]int{}
	for py := int(math.Ceil(2*y)) + 1; py < int(2*(y+perCell))-1; py++ {
		for px := int(math.Ceil(2*x)) + 1; px < int(2*(x+perCell))-1; px++ {
			count[hexAt(s.png, px, py)]++
		}
	}
	for colour, n := range count {
		if mostly == "" || n > count[mostly] {
			mostly = colour
		}
	}
	require.LessOrEqual(t, len(count), 2, "a colour and its ink, and no seams")
	return svg, mostly, len(count) == 2
}

func hexAt(img image.Image, x, y int) string {
	c := color.RGBAModel.Convert(img.At(x, y)).(color.RGBA)
	return "#" + strconv.FormatUint(1<<24|uint64(c.R)<<16|uint64(c.G)<<8|uint64(c.B), 16)[1:]
}

// TestDifferenceMap: every kind of cell has its colour and its hatching, the same as SVG and as
// PNG. Source: by hand.
func TestDifferenceMap(t *testing.T) {
	never := math.NaN()
	rows := []struct {
		name          string
		before, after float64
		colour        string
		hatched       bool
	}{
		{"the same", 40, 40, coverage.SameColour, false},
		{"a minute sooner", 40, 39, coverage.SoonerColours[0], false},
		{"hardly sooner", 40, 39.1, coverage.SameColour, false},
		{"much sooner", 60, 40, coverage.SoonerColours[4], false},
		{"seven minutes later", 40, 47, coverage.LaterColours[2], true},
		{"much later", 40, 90, coverage.LaterColours[4], true},
		{"only after", never, 50, coverage.SoonerColours[4], true},
		{"only before", 50, never, coverage.LaterColours[4], true},
		{"never", never, never, "#bdbdbd", true},
	}
	var before, after []float64
	for _, row := range rows {
		before, after = append(before, row.before), append(after, row.after)
	}
	d := cellsOf(t, before, after)
	m := &coverage.DifferenceMap{Title: "A difference", Note: "a caution", Difference: d}
	picture := show(t, m, d.Before.Demand.Grid)
	for i, row := range rows[:len(rows)-1] { // "never" is drawn with the rest of the land
		svg, mostly, hatched := picture.cell(t, i)
		assert.Equal(t, row.colour, mostly, row.name)
		assert.Equal(t, row.hatched, hatched, row.name)
		if row.hatched {
			assert.Contains(t, svg, "url(#hatch-", row.name)
		} else {
			assert.Contains(t, svg, row.colour, row.name)
		}
	}
	_, mostly, hatched := picture.cell(t, len(rows)-1)
	assert.Equal(t, []any{"#bdbdbd", true}, []any{mostly, hatched})
	for _, words := range []string{"over 20 sooner", "1 to 2 later", "less than 1 either way", "reached only after", "no longer reached", "not reached", "Colours: RdBu", "a caution"} {
		assert.Contains(t, picture.svg, ">"+words, "legend")
	}
	d.Before.Demand.Grid = nil
	require.ErrorIs(t, m.WriteSVG(io.Discard), coverage.ErrNoGrid)
	require.ErrorIs(t, m.WritePNG(io.Discard), coverage.ErrNoGrid)
}

// TestMapPNG has the colours of the bands, a legend with all of them, and a size that is
// bounded whatever the shape of the land is.
func TestMapPNG(t *testing.T) {
	d := cellsOf(t, []float64{10, 40, 200, math.NaN()}, nil)
	m := &coverage.Map{Title: "A map", Result: d.Before}
	picture := show(t, m, d.Before.Demand.Grid)
	for i, colour := range []string{coverage.Colours[0], coverage.Colours[2], coverage.Colours[6], "#bdbdbd"} {
		_, mostly, hatched := picture.cell(t, i)
		assert.Equal(t, colour, mostly)
		assert.Equal(t, i == 3, hatched)
	}
	inLegend := map[string]bool{}
	for y := range picture.png.Bounds().Dy() {
		inLegend[hexAt(picture.png, 2*(710+14+11), y)] = true
	}
	for _, colour := range coverage.Colours {
		assert.True(t, inLegend[colour], colour)
	}
	thin := square(middle, 2_000)
	for i := range thin[0][0] {
		thin[0][0][i][1] = middle.Lat() + 200*(thin[0][0][i][1]-middle.Lat())
	}
	tall := coverage.OnGrid(grid(t, thin, 1_000), nil)
	m.Result = &coverage.Result{Demand: tall, Outcomes: make([]coverage.Outcome, len(tall.Cells))}
	var b bytes.Buffer
	require.NoError(t, m.WritePNG(&b))
	size, err := png.DecodeConfig(&b)
	require.NoError(t, err)
	assert.LessOrEqual(t, size.Width*size.Height, 6_000_000)
}
