package picture_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"image/png"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/picture"
)

func square(x, y, side float64) []picture.Point {
	return []picture.Point{{X: x, Y: y}, {X: x + side, Y: y}, {X: x + side, Y: y + side}, {X: x, Y: y + side}, {X: x, Y: y}}
}

// sample has one of everything, some of it beyond the edges.
func sample() *picture.Picture {
	p := &picture.Picture{Width: 120, Height: 80, Title: `A "picture" & <more>`, ID: "a-"}
	p.Area(picture.Fill{Colour: "#fde725"}, [][]picture.Point{square(10, 10, 40), square(20, 20, 10)})
	p.Area(picture.Fill{Colour: "#2166ac"}, [][]picture.Point{square(-50, 60, 60), square(1e6, 1e6, 5)})
	p.Area(picture.Fill{Colour: "#000000"}, nil)
	for i, h := range []picture.Hatch{picture.Rising, picture.Falling, picture.Grid, picture.Dots} {
		p.Box(picture.Point{X: 60 + 12*float64(i), Y: 10}, 10, 20, picture.Fill{Colour: "#b2182b", Hatch: h, Ink: "#ffffff"})
	}
	p.Text(picture.Point{X: 60, Y: 60}, 13, "#000000", "less than 1 <b>")
	p.Text(picture.Point{X: 118, Y: 2}, 13, "#000000", "over the edge")
	p.Mark(picture.Point{X: 70, Y: 40}, picture.Plus, "a <hospital>")
	p.Mark(picture.Point{X: 90, Y: 40}, picture.Triangle, "b")
	p.Mark(picture.Point{X: 119, Y: 79}, picture.Ring, "c")
	p.Mark(picture.Point{X: -1e5, Y: 79}, picture.Ring, "d")
	return p
}

func decoded(t *testing.T, p *picture.Picture) (image.Image, []byte) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.WritePNG(&b))
	text := b.Bytes()
	img, err := png.Decode(bytes.NewReader(text))
	require.NoError(t, err)
	return img, text
}

func at(img image.Image, x, y float64) string {
	c := color.RGBAModel.Convert(img.At(int(x*picture.Fine), int(y*picture.Fine))).(color.RGBA)
	const hex = "0123456789abcdef"
	return "#" + string([]byte{hex[c.R>>4], hex[c.R&15], hex[c.G>>4], hex[c.G&15], hex[c.B>>4], hex[c.B&15]})
}

// TestPNG: size, colours, holes and hatchings by hand; the same bytes again. Source: geometry.
func TestPNG(t *testing.T) {
	img, text := decoded(t, sample())
	_, again := decoded(t, sample())
	assert.Equal(t, text, again)
	assert.Equal(t, image.Pt(120*picture.Fine, 80*picture.Fine), img.Bounds().Size())
	for _, row := range []struct {
		name   string
		x, y   float64
		colour string
	}{
		{"ground", 5, 5, "#ffffff"}, {"surface", 15, 15, "#fde725"}, {"first pixel of the surface", 10, 10, "#fde725"},
		{"last pixel before it", 9.5, 10, "#ffffff"}, {"hole", 25, 25, "#ffffff"}, {"last pixel of the surface", 49.5, 49.5, "#fde725"},
		{"first after it", 50, 49, "#ffffff"}, {"over the edge", 5, 70, "#2166ac"}, {"black of a mark", 70, 40, "#000000"}, {"its white edge", 70, 33.5, "#ffffff"},
	} {
		assert.Equal(t, row.colour, at(img, row.x, row.y), row.name)
	}
	for i := range 4 {
		inked := 0
		for x := range 10 * picture.Fine {
			for y := range 20 * picture.Fine {
				c := at(img, 60+12*float64(i)+float64(x)/picture.Fine, 10+float64(y)/picture.Fine)
				require.Contains(t, []string{"#b2182b", "#ffffff"}, c)
				if c == "#ffffff" {
					inked++
				}
			}
		}
		assert.Greater(t, inked, 30, "hatching %d", i)
		assert.Less(t, inked, 250, "hatching %d leaves most of its colour", i)
	}
	dark := 0
	for x := 60.0; x < 118; x += 0.5 {
		for y := 48.0; y < 62; y += 0.5 {
			if c := at(img, x, y); c != "#ffffff" {
				dark++
			}
		}
	}
	assert.Greater(t, dark, 100, "letters")
}

func TestPNGOfNoSize(t *testing.T) {
	for _, size := range [][2]int{{0, 10}, {10, 0}, {-3, -3}, {1 << 20, 1 << 20}, {4001, 1000}} {
		err := (&picture.Picture{Width: size[0], Height: size[1]}).WritePNG(io.Discard)
		require.ErrorContains(t, err, "at most 16000000", "%v", size)
	}
}

// TestSVG is well formed, has one pattern for each hatching, and takes no words for tags.
func TestSVG(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, sample().WriteSVG(&b))
	d := xml.NewDecoder(bytes.NewReader(b.Bytes()))
	patterns := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if start, ok := token.(xml.StartElement); ok && start.Name.Local == "pattern" {
			patterns++
		}
	}
	assert.Equal(t, 4, patterns)
	assert.Contains(t, b.String(), `url(#a-hatch-4)`)
	assert.NotContains(t, b.String(), "<b>")
	assert.NotContains(t, b.String(), "NaN")
}
