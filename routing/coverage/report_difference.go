package coverage

import (
	"fmt"
	"html"
	"strings"
)

// difference is the part of a page about a change: the maps after it and of what it does, who
// comes within each time and who falls out of it, and how sure that is.
func (p Report) difference(b *strings.Builder) error {
	d := p.Difference
	if p.After != nil {
		m := *p.After
		m.ID = "after-"
		b.WriteString("<h2>With the change</h2>\n")
		if err := m.WriteSVG(b); err != nil {
			return err
		}
	}
	b.WriteString("<h2>What the change does</h2>\n")
	if p.Changes != nil {
		m := *p.Changes
		m.ID = "difference-"
		if err := m.WriteSVG(b); err != nil {
			return err
		}
	}
	b.WriteString("<table><tr><th>minutes</th><th>people before</th><th>after</th><th>gained</th><th>lost</th>")
	if d.Ranges != nil {
		b.WriteString("<th>more within it, in 8 of 10 draws</th>")
	}
	b.WriteString("</tr>\n")
	for k, c := range d.Bands {
		fmt.Fprintf(b, "<tr><td>%.0f</td><td>%s</td><td>%s</td><td>%s</td><td>%s</td>", c.WithinS/60, Count(c.Before), Count(c.After), Count(c.Gained), Count(c.Lost))
		if d.Ranges != nil {
			fmt.Fprintf(b, "<td>%s to %s</td>", Count(d.Ranges.Net[k].Low), Count(d.Ranges.Net[k].High))
		}
		b.WriteString("</tr>\n")
	}
	fmt.Fprintf(b, "</table>\n<p>%s people would be sooner with a surgeon, %s later; on average %.1f min sooner", Count(d.Sooner.People), Count(d.Later.People), d.MeanGainS()/60)
	if r := d.Ranges; r != nil {
		fmt.Fprintf(b, " (in 8 of 10 draws %.1f to %.1f min)</p>\n<p>%s", r.MeanS.Low/60, r.MeanS.High/60, html.EscapeString(RangesMethod))
	}
	b.WriteString("</p>\n")
	return nil
}
