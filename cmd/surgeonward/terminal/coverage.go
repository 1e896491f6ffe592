package terminal

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"surgeonward/routing/coverage"
)

// CoveragePage is a result of coverage with what is needed to put names to its ids.
type CoveragePage struct {
	Region        string
	Demonstration bool
	Zone          *time.Location
	Demand        string // where people are counted, in words
	Results       []*coverage.Result
	Expected      *coverage.Expected     // over a mix of the results; nil: none
	Shares        []float64              // of the results, where there is a mix
	Busy          *coverage.Busy         // while assets are out on calls; nil: not asked for
	Difference    *coverage.Difference   // against another region; nil: none
	Against       string                 // what that region is called
	Name          func(id string) string // an asset's or a facility's name; "": the id is shown
	Notes         []string
}

// WriteCoverage prints who is how far from a surgeon.
func WriteCoverage(w io.Writer, p CoveragePage, s Style) error {
	v := &view{style: s, columns: s.columns(), page: Page{Region: p.Region, Demonstration: p.Demonstration, Zone: p.Zone}}
	v.caution()
	v.paragraph("", p.Demand)
	for _, n := range p.Notes {
		v.paragraph("Note: ", n)
	}
	for i, r := range p.Results {
		v.line("")
		if p.Expected != nil {
			v.paragraph("", fmt.Sprintf("Situation %d of %d: %s, share %g.", i+1, len(p.Results), situation(r, p.Zone), p.Shares[i]))
			v.bands(r.Summary())
			continue
		}
		v.paragraph("", "Situation: "+situation(r, p.Zone)+".")
		v.coverage(r, &p)
	}
	if p.Expected != nil {
		v.line("")
		v.paragraph("", "Expected over all situations:")
		e := p.Expected
		v.bands(coverage.Summary{People: e.People, AreaM2: e.Demand.AreaM2(), Bands: e.Bands, Reached: e.Reached})
		v.paragraph("", "Mean time of those who are reached: "+coverage.Minutes(e.MeanS)+".")
	}
	if p.Busy != nil {
		v.busy(&p)
	}
	if p.Difference != nil {
		v.difference(&p)
	}
	_, err := io.WriteString(w, v.out.String())
	return err
}

// situation is the hour and what it is called.
func situation(r *coverage.Result, zone *time.Location) string {
	if zone == nil {
		zone = time.UTC
	}
	return fmt.Sprintf("%s, %s", r.Situation, r.Question.At.In(zone).Format("Mon 2006-01-02 15:04 (MST)"))
}

func (v *view) coverage(r *coverage.Result, p *CoveragePage) {
	s := r.Summary()
	v.line("")
	v.bands(s)
	v.line("")
	v.paragraph("", fmt.Sprintf("Half of the people are with a surgeon within %s, nine tenths within %s; if things go slowly, %s and %s.",
		coverage.Minutes(s.ByPeople.MedianS), coverage.Minutes(s.ByPeople.P90S), coverage.Minutes(s.Slow.MedianS), coverage.Minutes(s.Slow.P90S)))
	if s.AreaM2 > 0 {
		v.paragraph("", fmt.Sprintf("Half of the area within %s, nine tenths within %s.", coverage.Minutes(s.ByArea.MedianS), coverage.Minutes(s.ByArea.P90S)))
	}
	if r.Second {
		v.paragraph("", fmt.Sprintf("While the first asset is away, half of those who are reached lose at most %s, nine tenths at most %s.",
			coverage.Minutes(s.LostS.MedianS), coverage.Minutes(s.LostS.P90S)))
	}
	var worst []string
	for _, w := range s.Worst[:min(len(s.Worst), 5)] {
		worst = append(worst, fmt.Sprintf("%s %s", cmp.Or(w.Name, "unnamed"), coverage.Minutes(w.TimeS)))
	}
	if len(worst) > 0 {
		v.paragraph("Longest: ", strings.Join(worst, ", ")+".")
	}
	v.loads("First asset", s.Assets, &s, p)
	v.loads("Hospital", s.Hospitals, &s, p)
}

// loads names who carries most.
func (v *view) loads(prefix string, loads []coverage.Load, s *coverage.Summary, p *CoveragePage) {
	var parts []string
	for _, l := range loads {
		if len(parts) == 8 {
			parts = append(parts, fmt.Sprintf("and %d more", len(loads)-8))
			break
		}
		parts = append(parts, named(p.Name, l.ID)+" "+coverage.Percent(l.People, s.People))
	}
	if len(parts) > 0 {
		v.paragraph(prefix+": ", strings.Join(parts, ", ")+".")
	}
}

// bands is the table of who is within each limit.
func (v *view) bands(s coverage.Summary) {
	v.line(fmt.Sprintf("  %-14s %12s %8s %12s %8s", "within", "people", "", "km2", ""))
	for _, b := range append(s.Bands[:len(s.Bands):len(s.Bands)], s.Reached) {
		what := "reached at all"
		if !math.IsInf(b.WithinS, 1) {
			what = fmt.Sprintf("%.0f min", b.WithinS/60)
		}
		v.line(fmt.Sprintf("  %-14s %12s %8s %12s %8s", what, coverage.Count(b.People), coverage.Percent(b.People, s.People),
			coverage.Count(b.AreaM2/1e6), coverage.Percent(b.AreaM2, s.AreaM2)))
	}
	v.line(fmt.Sprintf("  %-14s %12s %8s %12s", "all", coverage.Count(s.People), "", coverage.Count(s.AreaM2/1e6)))
}

func (v *view) difference(p *CoveragePage) {
	d := p.Difference
	v.line("")
	v.paragraph("", "Against "+p.Against+", the same situation there:")
	head := "  %-14s %10s %10s %10s %10s"
	last := ""
	if d.Ranges != nil {
		last = "   8 of 10 draws"
	}
	v.line(fmt.Sprintf(head+"%s", "people within", "here", "there", "gained", "lost", last))
	for k, b := range d.Bands {
		if d.Ranges != nil {
			last = fmt.Sprintf("   %s to %s", coverage.Count(d.Ranges.Net[k].Low), coverage.Count(d.Ranges.Net[k].High))
		}
		v.line(fmt.Sprintf(head+"%s", fmt.Sprintf("%.0f min", b.WithinS/60), coverage.Count(b.Before), coverage.Count(b.After),
			coverage.Count(b.Gained), coverage.Count(b.Lost), last))
	}
	text := fmt.Sprintf("%s people would be sooner with a surgeon, %s later; on average %.1f min sooner",
		coverage.Count(d.Sooner.People), coverage.Count(d.Later.People), d.MeanGainS()/60)
	if r := d.Ranges; r != nil {
		text += fmt.Sprintf(", in 8 of 10 draws %.1f to %.1f min", r.MeanS.Low/60, r.MeanS.High/60)
	}
	v.paragraph("", text+".")
	if d.Ranges != nil {
		v.paragraph("Note: ", coverage.RangesMethod)
	}
}
