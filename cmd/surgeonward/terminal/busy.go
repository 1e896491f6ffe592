package terminal

import (
	"fmt"
	"strings"

	"surgeonward/routing/coverage"
)

// busy prints how busy assets are, and whom to expect within each time then.
func (v *view) busy(p *CoveragePage) {
	b := p.Busy
	v.line("")
	v.paragraph("", fmt.Sprintf("With %g calls per day, expected while assets are out on them:", b.Calls.PerDay))
	v.line("")
	e := b.Expected
	v.bands(coverage.Summary{People: e.People, AreaM2: e.Demand.AreaM2(), Bands: e.Bands, Reached: e.Reached})
	v.line("")
	v.paragraph("", fmt.Sprintf("Mean time of those who are reached: %s; of the calls, %s find nobody free.", coverage.Minutes(e.MeanS), coverage.Percent(b.Unanswered(), 1)))
	units := b.Busiest()
	var parts []string
	for _, u := range units {
		if len(parts) == 8 {
			parts = append(parts, fmt.Sprintf("and %d more", len(units)-8))
			break
		}
		parts = append(parts, named(p.Name, u.Asset)+" "+coverage.Percent(u.Share, 1))
	}
	if len(parts) > 0 {
		v.paragraph("Busy: ", strings.Join(parts, ", ")+" of the time.")
	}
	v.paragraph("", b.Method()+" "+b.ErrorNote())
	for _, a := range b.Assumptions() {
		v.paragraph("Assumed: ", a)
	}
}
