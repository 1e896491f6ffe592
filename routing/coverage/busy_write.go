package coverage

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"html"
	"io"
	"math"
	"slices"
	"strings"
)

// Method says in words how the shares were worked out.
func (b *Busy) Method() string {
	if b.Exact {
		return fmt.Sprintf("Hypercube queueing model (Larson 1974) of the %d assets that are sent.", len(b.Units))
	}
	return fmt.Sprintf("Approximation of the hypercube queueing model (Larson 1975, Jarvis 1985) for the %d assets that are sent.", len(b.Units))
}

// ErrorNote says in words how far off the shares can be, as against the queueing model itself.
func (b *Busy) ErrorNote() string {
	if b.Exact {
		return "Exact for the model, up to rounding."
	}
	return "Shares are within 1 or 2 percent of the mean share on average (Larson and Odoni 1981), of single assets within 5 percent; " +
		"where not every asset is in every order, within 0.03. The expectation takes assets to be busy independently of each other, which they are not quite."
}

// Assumptions says what the figures rest on, one sentence each.
func (b *Busy) Assumptions() []string {
	service := "A call takes an asset until it is back at its base: the engine's own mission at typical durations, for each asset the mean over at most " +
		fmt.Sprint(missionScenes) + " scenes. Cleaning and taking fuel are not in it."
	if b.Calls.ServiceS > 0 {
		service = fmt.Sprintf("A call takes an asset for %s on average, wherever it is.", Minutes(b.Calls.ServiceS))
	}
	who := "All assets answer these calls and no others."
	if b.Calls.Assets != nil {
		who = "Only " + strings.Join(b.Calls.Assets, ", ") + " can be busy; all others are always free."
	}
	return []string{
		fmt.Sprintf("%g calls per day come by themselves (Poisson), spread as the people are; how long each lasts varies as an exponential time does.", b.Calls.PerDay),
		service,
		who + " Each call takes one asset, the first of its option's that can be busy; a second vehicle of the same option is taken to be free.",
		fmt.Sprintf("At each cell the first %d assets in the order of the engine's answers are looked at. A call that finds all of them busy is nobody's: it does not wait, and counts as not reached.", b.Calls.Depth),
		"The situation's hour is taken to last: rotas do not change while calls go on.",
	}
}

// Busiest is the units, those with the greatest shares first.
func (b *Busy) Busiest() []Unit {
	units := slices.Clone(b.Units)
	slices.SortStableFunc(units, func(x, y Unit) int { return cmp.Compare(y.Share, x.Share) })
	return units
}

// writeHTML writes the report's section.
func (b *Busy) writeHTML(out *strings.Builder, name func(id string) string) {
	out.WriteString("<h2>While assets are out on other calls</h2><table><tr><th>asset</th><th>share of the time</th><th>calls per day</th><th>each takes</th></tr>\n")
	for _, u := range b.Busiest() {
		fmt.Fprintf(out, "<tr><td>%s</td><td>%s</td><td>%.2f</td><td>%s</td></tr>\n", name(u.Asset), Percent(u.Share, 1), u.PerDay, Minutes(u.ServiceS))
	}
	out.WriteString("</table><table><tr><th>minutes</th><th>people expected</th><th>of all</th></tr>\n")
	e := b.Expected
	for _, band := range append(e.Bands[:len(e.Bands):len(e.Bands)], e.Reached) {
		what := "reached at all"
		if !math.IsInf(band.WithinS, 1) {
			what = fmt.Sprintf("%.0f", band.WithinS/60)
		}
		fmt.Fprintf(out, "<tr><td>%s</td><td>%s</td><td>%s</td></tr>\n", what, Count(band.People), Percent(band.People, e.People))
	}
	fmt.Fprintf(out, "</table><p>Mean time of those who are reached: %s.</p>\n", Minutes(e.MeanS))
	for _, sentence := range append([]string{b.Method() + " " + b.ErrorNote()}, b.Assumptions()...) {
		fmt.Fprintf(out, "<p>%s</p>\n", html.EscapeString(sentence))
	}
}

// WriteCSV writes one row for each cell: what to expect, and who is sent in which order with
// which chance. Times that nobody reaches are empty.
func (b *Busy) WriteCSV(w io.Writer) error {
	header := []string{"latitude", "longitude", "name", "people", "expected_s", "reached_share"}
	for _, limit := range BandsS {
		header = append(header, fmt.Sprintf("within_%.0f_min_share", limit/60))
	}
	for k := range b.Order.Depth {
		header = append(header, fmt.Sprintf("asset_%d", k+1), fmt.Sprintf("typical_%d_s", k+1), fmt.Sprintf("chance_%d", k+1))
	}
	rows := [][]string{header}
	for i := range b.Expected.Cells {
		at, c := &b.Order.Demand.Cells[i], &b.Expected.Cells[i]
		row := []string{decimal(at.At.Lat(), 6), decimal(at.At.Lon(), 6), plainCell(at.Name), decimal(at.People, 3), wholeSeconds(c.MeanS), decimal(c.Reached, 6)}
		for _, share := range c.Within {
			row = append(row, decimal(share, 6))
		}
		for k := range b.Order.Depth {
			if k >= len(b.Order.Ways[i]) {
				row = append(row, "", "", "")
				continue
			}
			way := Outcome{Best: b.Order.Ways[i][k].Best}
			asset := way.Asset()
			if u := b.Order.Ways[i][k].Unit; u >= 0 {
				asset = b.Order.Units[u]
			}
			row = append(row, asset, wholeSeconds(way.Seconds()), decimal(b.Chances[i][k], 6))
		}
		rows = append(rows, row)
	}
	return csv.NewWriter(w).WriteAll(rows)
}
