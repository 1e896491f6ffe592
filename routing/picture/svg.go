package picture

import (
	"fmt"
	"html"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// tilePx is how wide a hatching is until it begins again.
const tilePx = 8

// hatchings are the lines of a tile; what leaves it at one side comes in at the other.
var hatchings = map[Hatch]string{
	Rising:  `<path d="M-2 2L2 -2M0 8L8 0M6 10L10 6" stroke="%s" fill="none"/>`,
	Falling: `<path d="M-2 6L2 10M0 0L8 8M6 -2L10 2" stroke="%s" fill="none"/>`,
	Grid:    `<path d="M4 0V8M0 4H8" stroke="%s" fill="none"/>`,
	Dots:    `<circle cx="4" cy="4" r="1.4" fill="%s"/>`,
}

// WriteSVG writes the picture as an SVG document that nothing has to be loaded for.
func (p *Picture) WriteSVG(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" font-family="sans-serif" font-size="13" role="img">`+"\n",
		p.Width, p.Height, p.Width, p.Height)
	fmt.Fprintf(&b, "<title>%s</title>\n", html.EscapeString(p.Title))
	fills := p.hatched()
	if len(fills) > 0 {
		b.WriteString("<defs>")
		for k, f := range fills {
			fmt.Fprintf(&b, `<pattern id="%s%s" width="%d" height="%d" patternUnits="userSpaceOnUse"><rect width="%d" height="%d" fill="%s"/>`+hatchings[f.Hatch]+`</pattern>`,
				html.EscapeString(p.ID), patternName(k), tilePx, tilePx, tilePx, tilePx, f.Colour, f.Ink)
		}
		b.WriteString("</defs>\n")
	}
	b.WriteString(`<rect width="100%" height="100%" fill="#ffffff"/>` + "\n")
	paint := func(f Fill) string {
		if f.Hatch == Plain {
			return f.Colour
		}
		return "url(#" + html.EscapeString(p.ID) + patternName(slices.Index(fills, f)) + ")"
	}
	for i := range p.items {
		it := &p.items[i]
		x, y := decimal(it.at.X), decimal(it.at.Y)
		switch it.kind {
		case area:
			fmt.Fprintf(&b, `<path fill="%s" fill-rule="evenodd" d="%s"/>`+"\n", paint(it.fill), path(it.rings, true))
		case box:
			fmt.Fprintf(&b, `<rect x="%s" y="%s" width="%s" height="%s" fill="%s"/>`+"\n", x, y, decimal(it.width), decimal(it.height), paint(it.fill))
		case text:
			fmt.Fprintf(&b, `<text x="%s" y="%s" font-size="%s" fill="%s">%s</text>`+"\n", x, y, decimal(it.size), it.fill.Colour, html.EscapeString(it.words))
		case mark:
			d := path(it.shape, false)
			fmt.Fprintf(&b, `<g transform="translate(%s %s)"><title>%s</title><path d="%s" fill="none" stroke="#ffffff" stroke-width="4"/><path d="%s" fill="none" stroke="#000000" stroke-width="2"/></g>`+"\n",
				x, y, html.EscapeString(it.words), d, d)
		}
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

func patternName(k int) string { return "hatch-" + strconv.Itoa(k+1) }

// path is lines in the words of SVG; closed ones leave their last point out.
func path(lines [][]Point, closed bool) string {
	var b strings.Builder
	for _, line := range lines {
		if closed && len(line) > 0 {
			line = line[:len(line)-1]
		}
		for i, c := range line {
			b.WriteByte("ML"[min(i, 1)])
			b.WriteString(decimal(c.X) + " " + decimal(c.Y))
		}
		if closed {
			b.WriteByte('Z')
		}
	}
	return b.String()
}

// decimal is a length to a tenth of a pixel.
func decimal(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64) }
