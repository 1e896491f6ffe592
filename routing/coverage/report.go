package coverage

import (
	"cmp"
	"fmt"
	"html"
	"io"
	"math"
	"strings"
)

// Report is a page to print or to send, in one file, with nothing to load and no
// script.
type Report struct {
	Title      string
	Caution    string
	Method     []string // one paragraph each
	Result     *Result
	Map        *Map        // nil: none
	Difference *Difference // against a change; nil: none
	After      *Map        // with the change; nil: none
	Changes    *DifferenceMap
	Busy       *Busy // what to expect while assets are out on calls; nil: none
	Name       func(id string) string
}

// WriteHTML writes the page.
func (p Report) WriteHTML(w io.Writer) error {
	s := p.Result.Summary()
	var b strings.Builder
	text := html.EscapeString
	name := func(id string) string {
		known := ""
		if p.Name != nil {
			known = p.Name(id)
		}
		return text(cmp.Or(known, strings.ReplaceAll(id, "_", " ")))
	}
	fmt.Fprintf(&b, `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>%s</title><style>
body{font-family:sans-serif;max-width:60rem;margin:1rem auto;padding:0 1rem;color:#111;background:#fff}
table{border-collapse:collapse;margin:.5rem 0}th,td{padding:.2rem .8rem;border-bottom:1px solid #bbb;text-align:right}
th:first-child,td:first-child{text-align:left}.caution{border:2px solid #111;padding:.5rem}svg{max-width:100%%;height:auto}
</style></head><body><h1>%s</h1><p class="caution">%s</p>
`, text(p.Title), text(p.Title), text(p.Caution))
	fmt.Fprintf(&b, "<p>%s people", Count(s.People))
	if s.AreaM2 > 0 {
		fmt.Fprintf(&b, " on %s km²", Count(s.AreaM2/1e6))
	}
	fmt.Fprintf(&b, ". Half of them are with a surgeon within %s, nine tenths within %s; if things go slowly, %s and %s.</p>\n",
		Minutes(s.ByPeople.MedianS), Minutes(s.ByPeople.P90S), Minutes(s.Slow.MedianS), Minutes(s.Slow.P90S))
	if p.Map != nil {
		m := *p.Map
		m.ID = "before-"
		if err := m.WriteSVG(&b); err != nil {
			return err
		}
	}
	b.WriteString("<h2>Within how many minutes</h2><table><tr><th>minutes</th><th>people</th><th>of all</th><th>km²</th></tr>\n")
	for _, band := range append(s.Bands[:len(s.Bands):len(s.Bands)], s.Reached) {
		what := "reached at all"
		if !math.IsInf(band.WithinS, 1) {
			what = fmt.Sprintf("%.0f", band.WithinS/60)
		}
		fmt.Fprintf(&b, "<tr><td>%s</td><td>%s</td><td>%s</td><td>%s</td></tr>\n", what, Count(band.People), Percent(band.People, s.People), Count(band.AreaM2/1e6))
	}
	b.WriteString("</table>\n")
	curveSVG(&b, &s)
	if p.Difference != nil {
		if err := p.difference(&b); err != nil {
			return err
		}
	}
	b.WriteString("<h2>Who waits longest</h2><table><tr><th>place</th><th>people</th><th>time</th></tr>\n")
	for _, place := range s.Worst {
		fmt.Fprintf(&b, "<tr><td>%s</td><td>%s</td><td>%s</td></tr>\n", text(cmp.Or(place.Name, "unnamed")), Count(place.People), Minutes(place.TimeS))
	}
	b.WriteString("</table>\n")
	for _, table := range []struct {
		title string
		loads []Load
	}{{"By which asset", s.Assets}, {"To which hospital", s.Hospitals}, {"In which way", s.Shapes}} {
		fmt.Fprintf(&b, "<h2>%s</h2><table><tr><th></th><th>people</th><th>of all</th></tr>\n", table.title)
		for _, l := range table.loads {
			fmt.Fprintf(&b, "<tr><td>%s</td><td>%s</td><td>%s</td></tr>\n", name(l.ID), Count(l.People), Percent(l.People, s.People))
		}
		b.WriteString("</table>\n")
	}
	if p.Busy != nil {
		p.Busy.writeHTML(&b, name)
	}
	b.WriteString("<h2>How this was worked out</h2>\n")
	for _, m := range p.Method {
		fmt.Fprintf(&b, "<p>%s</p>\n", text(m))
	}
	b.WriteString("</body></html>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// curveSVG draws people against minutes.
func curveSVG(b *strings.Builder, s *Summary) {
	if s.People == 0 {
		return
	}
	const width, height, left, bottom = 640, 260, 50, 30
	last := s.Curve[len(s.Curve)-1].WithinS
	x := func(t float64) string { return decimal(left+(width-left-10)*t/last, 1) }
	y := func(share float64) string { return decimal(10+(height-10-bottom)*(1-share), 1) }
	fmt.Fprintf(b, `<h2>People against minutes</h2><svg viewBox="0 0 %d %d" width="%d" height="%d" font-size="12" role="img"><title>Share of people within so many minutes</title>`, width, height, width, height)
	for k := range 5 {
		share := float64(k) / 4
		fmt.Fprintf(b, `<path d="M%d %sH%d" stroke="#cccccc"/><text x="6" y="%s">%.0f %%</text>`, left, y(share), width-10, y(share), share*100)
	}
	for _, limit := range BandsS {
		fmt.Fprintf(b, `<path d="M%s 10V%d" stroke="#cccccc"/><text x="%s" y="%d" text-anchor="middle">%.0f</text>`, x(limit), height-bottom, x(limit), height-12, limit/60)
	}
	fmt.Fprintf(b, `<path fill="none" stroke="#31688e" stroke-width="2.5" d="M%s %s`, x(0), y(0))
	for _, c := range s.Curve {
		fmt.Fprintf(b, "L%s %s", x(c.WithinS), y(c.People/s.People))
	}
	b.WriteString(`"/></svg>` + "\n")
}

// Count writes a number of people or square kilometres with commas.
func Count(v float64) string {
	digits := fmt.Sprintf("%.0f", math.Abs(v))
	var out []byte
	for i := range len(digits) {
		if i > 0 && (len(digits)-i)%3 == 0 {
			out = append(out, ',')
		}
		out = append(out, digits[i])
	}
	if v <= -0.5 {
		return "-" + string(out)
	}
	return string(out)
}

// Percent writes a share of a whole to a tenth of a percent.
func Percent(part, whole float64) string {
	if whole == 0 {
		return "-"
	}
	return fmt.Sprintf("%.1f %%", 100*part/whole)
}

// Minutes writes seconds in minutes, rounded up: nobody is said to be sooner than
// they are.
func Minutes(s float64) string {
	switch {
	case math.IsNaN(s):
		return "-"
	case math.IsInf(s, 1):
		return "not reached"
	}
	return fmt.Sprintf("%.0f min", math.Ceil(s/60-1e-9))
}
