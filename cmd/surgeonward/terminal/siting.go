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
	Put        string // what is put there, in words
	Sites      []coverage.Candidate
	Chosen     []int           // of the sites, each as often as something is put there
	Solution   siting.Solution // over the sites, and then what is there anyway
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
	v.paragraph("", fmt.Sprintf("Objective: %s, by putting %s at some of %d candidates.", p.Objective, p.Put, len(p.Sites)))
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
	for i, site := range p.Chosen {
		if i > 0 && p.Chosen[i-1] == site {
			continue
		}
		names = append(names, p.site(site))
		if n := count(p.Chosen, site); n > 1 {
			names[len(names)-1] += fmt.Sprintf(", %d of them", n)
		}
	}
	if len(names) == 0 {
		names = []string{"none: what there is does it"}
	}
	v.paragraph("Choice: ", strings.Join(names, "; ")+".")
	v.paragraph("", fmt.Sprintf("Today %s; with the choice %s.", p.Unit(p.Today), p.Unit(p.Achieved)))
	if p.Solution.Proven() {
		v.paragraph("", "Proven: no other choice of these candidates is better.")
	} else {
		v.paragraph("", fmt.Sprintf("Not proven: no choice is better than %s, a gap of %.2f %%.", p.Bound(p.Solution.Bound), 100*p.Solution.Gap()))
	}
	for _, g := range p.Reasons.Gains {
		if g.Site < len(p.Sites) {
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

func count(sites []int, site int) (n int) {
	for _, s := range sites {
		if s == site {
			n++
		}
	}
	return n
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

// site is a candidate's name.
func (p *SitingPage) site(n int) string { return p.Sites[n].Name }
