package picture

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// Fine is how many pixels of a PNG are one pixel of the picture, across and down.
const Fine = 2

// MaxPixels is how many pixels a PNG may have: 4 bytes each are held while it is drawn.
const MaxPixels = 16_000_000

// WritePNG writes the picture as PNG, without anything that could differ the next time.
func (p *Picture) WritePNG(w io.Writer) error {
	width, height := p.Width*Fine, p.Height*Fine
	if width < 1 || height < 1 || width > MaxPixels/height {
		return fmt.Errorf("a picture of %d by %d pixels: at most %d are drawn", width, height, MaxPixels)
	}
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, width, height)), faces: map[float64]font.Face{}}
	c.rows(0, height, func(int) []int { return []int{0, width} }, Fill{Colour: "#ffffff"})
	for i := range p.items {
		if err := c.draw(&p.items[i]); err != nil {
			return err
		}
	}
	return png.Encode(w, c.img)
}

// canvas is a PNG that is being drawn.
type canvas struct {
	img   *image.RGBA
	faces map[float64]font.Face // by size
}

func (c *canvas) draw(it *item) error {
	switch it.kind {
	case area:
		c.area(it.rings, it.fill)
	case box:
		x, y := whole(it.at.X), whole(it.at.Y)
		to := whole(it.at.X + it.width)
		c.rows(y, whole(it.at.Y+it.height), func(int) []int { return []int{x, to} }, it.fill)
	case text:
		return c.text(it)
	case mark:
		c.stroke(it.shape, it.at, 4, color.White)
		c.stroke(it.shape, it.at, 2, color.Black)
	}
	return nil
}

// whole is the nearest pixel of the PNG.
func whole(v float64) int { return int(math.Round(v * Fine)) }

// area fills what is within an odd number of rings. Each row of pixels is looked at in its
// middle: corners are at whole pixels, so that no side is met in a corner.
func (c *canvas) area(rings [][]Point, f Fill) {
	height := c.img.Rect.Dy()
	crossings := make([][]int, height)
	for _, ring := range rings {
		for k := 1; k < len(ring); k++ {
			x1, y1, x2, y2 := whole(ring[k-1].X), whole(ring[k-1].Y), whole(ring[k].X), whole(ring[k].Y)
			if y1 > y2 {
				x1, y1, x2, y2 = x2, y2, x1, y1
			}
			for y := max(y1, 0); y < min(y2, height); y++ {
				at := float64(x1) + (float64(y)+0.5-float64(y1))*float64(x2-x1)/float64(y2-y1)
				crossings[y] = append(crossings[y], int(math.Ceil(at-0.5)))
			}
		}
	}
	c.rows(0, height, func(y int) []int {
		slices.Sort(crossings[y])
		return crossings[y]
	}, f)
}

// rows paints, in each row, from each first to before each second column.
func (c *canvas) rows(from, to int, columns func(y int) []int, f Fill) {
	ground, ink := rgba(f.Colour), rgba(f.Ink)
	plain := image.NewUniform(ground)
	for y := max(from, 0); y < min(to, c.img.Rect.Dy()); y++ {
		at := columns(y)
		for k := 1; k < len(at); k += 2 {
			if f.Hatch == Plain {
				draw.Draw(c.img, image.Rect(at[k-1], y, at[k], y+1), plain, image.Point{}, draw.Src)
				continue
			}
			for x := max(at[k-1], 0); x < min(at[k], c.img.Rect.Dx()); x++ {
				if f.Hatch.inked(x, y) {
					c.img.SetRGBA(x, y, ink)
				} else {
					c.img.SetRGBA(x, y, ground)
				}
			}
		}
	}
}

// inked reports whether a pixel of the PNG belongs to the lines of a hatching.
func (h Hatch) inked(x, y int) bool {
	const tile, line = tilePx * Fine, Fine + 1
	switch h {
	case Rising:
		return (x+y+1)%tile < line
	case Falling:
		return (x-y+1+tile*(y/tile+1))%tile < line
	case Grid:
		return (x%tile+Fine/2)/Fine == tilePx/2 || (y%tile+Fine/2)/Fine == tilePx/2
	case Dots:
		dx, dy := float64(x%tile)+0.5-tile/2, float64(y%tile)+0.5-tile/2
		return math.Hypot(dx, dy) <= 1.4*Fine
	}
	return false
}

var regular = sync.OnceValues(func() (*opentype.Font, error) { return opentype.Parse(goregular.TTF) })

func (c *canvas) text(it *item) error {
	face := c.faces[it.size]
	if face == nil {
		f, err := regular()
		if err != nil {
			return err
		}
		if face, err = opentype.NewFace(f, &opentype.FaceOptions{Size: it.size * Fine, DPI: 72}); err != nil {
			return err
		}
		c.faces[it.size] = face
	}
	d := font.Drawer{Dst: c.img, Src: image.NewUniform(rgba(it.fill.Colour)), Face: face, Dot: fixed.P(whole(it.at.X), whole(it.at.Y))}
	d.DrawString(it.words)
	return nil
}

// rgba reads a colour as in "#fde725"; black where it is none.
func rgba(colour string) color.RGBA {
	n, err := strconv.ParseUint(strings.TrimPrefix(colour, "#"), 16, 24)
	if err != nil {
		n = 0
	}
	return color.RGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 0xff}
}
