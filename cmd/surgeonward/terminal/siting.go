package terminal

import (
	"fmt"
	"io"
	"strings"

	"surgeonward/routing/coverage"
	"surgeonward/routing/siting"
)

// SitingPage is a choice of sites with what is needed to put names to it.
type SitingPage struct {
	CoveragePage
	Objective  string // in words
	Like       string // what is put there
	Sites      []coverage.Candidate
	Solution   siting.Solution // over the fleet of today and then the sites
	Reasons    siting.Reasons
	Unit       func(value float64) string // a value of what is to be best, in words
	Bound      func(value float64) string // the same of Solution's value and bound
	Today      float64                    // the value without any of the sites
	Achieved   float64                    // and with the choice
	Before     *coverage.Result
	Everything *coverage.Difference // with the whole choice run once more
}

// WriteSiting prints the choice and why it is what it is.
func WriteSiting(w io.Writer, p SitingPage, s Style) error {
	v := &view{style: s, columns: s.columns(), page: Page{Region: p.Region, Demonstration: p.Demonstration, Zone: p.Zone}}
	v.caution()
	v.paragraph("", p.Demand)
	v.paragraph("", "Situation: "+situation(p.Before, p.Zone)+".")
	v.paragraph("", fmt.Sprintf("Objective: %s, by putting another %s at some of %d candidates.", p.Objective, p.Like, len(p.Sites)))
	for _, n := range p.Notes {
		v.paragraph("Note: ", n)
	}
	v.line("")
	if !p.Solution.Found {
		v.paragraph("", "No choice of these candidates does what was asked for.")
		_, err := io.WriteString(w, v.out.String())
		return err
	}
	v.choice(&p)
	if p.Everything != nil {
		v.together(&p)
	}
	_, err := io.WriteString(w, v.out.String())
	return err
}

func (v *view) choice(p *SitingPage) {
	var names []string
	for _, site := range p.Solution.Sites {
		if site > 0 {
			names = append(names, p.site(site))
		}
	}
	if len(names) == 0 {
		names = []string{"none: the fleet of today does it"}
	}
	v.paragraph("Choice: ", strings.Join(names, "; ")+".")
	v.paragraph("", fmt.Sprintf("Today %s; with the choice %s.", p.Unit(p.Today), p.Unit(p.Achieved)))
	if p.Solution.Proven() {
		v.paragraph("", "Proven: no other choice of these candidates is better.")
	} else {
		v.paragraph("", fmt.Sprintf("Not proven: no choice is better than %s, a gap of %.2f %%.", p.Bound(p.Solution.Bound), 100*p.Solution.Gap()))
	}
	for _, g := range p.Reasons.Gains {
		if g.Site > 0 {
			v.paragraph("  ", fmt.Sprintf("%s adds %s.", p.site(g.Site), p.Unit(g.Adds)))
		}
	}
	if len(p.Reasons.Alternatives) > 0 {
		v.paragraph("", "Nearly as good, by one exchange:")
	}
	for _, a := range p.Reasons.Alternatives {
		how := "as good"
		if a.Worse != 0 {
			how = p.Unit(a.Worse) + " less good"
		}
		v.paragraph("  ", fmt.Sprintf("%s in place of %s: %s.", p.site(a.In), p.site(a.Out), how))
	}
}

// together is the whole choice, run once more with all of it.
func (v *view) together(p *SitingPage) {
	v.line("")
	v.paragraph("", "The whole choice, run once more with all of it:")
	v.line(fmt.Sprintf("  %-14s %12s %12s %12s", "people within", "today", "then", "gained"))
	for _, b := range p.Everything.Bands {
		v.line(fmt.Sprintf("  %-14s %12s %12s %12s", fmt.Sprintf("%.0f min", b.WithinS/60), coverage.Count(b.Before), coverage.Count(b.After), coverage.Count(b.After-b.Before)))
	}
	v.paragraph("", fmt.Sprintf("%s people would be sooner with a surgeon; on average %.1f min sooner.",
		coverage.Count(p.Everything.Sooner.People), p.Everything.MeanGainS()/60))
}

// site is a candidate's name; sites count from the fleet of today, which is 0.
func (p *SitingPage) site(n int) string { return p.Sites[n-1].Name }
