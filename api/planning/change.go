package planning

import (
	"context"
	"io"

	"surgeonward/api/wire"
	"surgeonward/routing/coverage"
)

// Changed is the figures of a region as it would be, and what the change does.
type Changed struct {
	Name        string            `json:"name"`
	Versions    map[string]string `json:"versions"`
	Situations  []Situation       `json:"situations"`
	Differences []Effect          `json:"differences"`
	Expected    *Expected         `json:"expected,omitempty"`
	Busy        *Busy             `json:"busy,omitempty"`
}

// Effect is what a change does in one situation. What is low and high holds over draws of how
// long things take, which are the same before and after: 1 and 9 in 10 of them are lower.
type Effect struct {
	Name          string       `json:"name"`
	Share         float64      `json:"share"`
	Bands         []EffectBand `json:"bands"`
	Sooner        float64      `json:"people_sooner"`
	Later         float64      `json:"people_later"`
	MeanGainS     *float64     `json:"mean_gain_s"`
	MeanGainLowS  *float64     `json:"mean_gain_low_s"`
	MeanGainHighS *float64     `json:"mean_gain_high_s"`
	Results       []string     `json:"results"`
}

// EffectBand is who comes within a time, and who falls out of it.
type EffectBand struct {
	Change
	GainedLow  float64 `json:"gained_low"` // those who come within it less those who fall out
	GainedHigh float64 `json:"gained_high"`
}

// changed compares the situations one by one.
func changed(ctx context.Context, c *wire.Change, before, after *view, told func(i int, s coverage.Situation) func(int, int)) (*Changed, error) {
	out := &Changed{Name: c.Name, Versions: wire.VersionsOf(c.Region, after.files.build), Situations: after.summaries, Differences: []Effect{}}
	before.files.all = append(before.files.all, after.files.all...)
	for i := range before.results {
		d, err := coverage.Compare(before.results[i], after.results[i])
		if err != nil {
			return nil, err
		}
		plan := before.plans[i]
		plan.Progress = told(i, plan.Situation)
		if err = d.Draw(ctx, plan, after.plans[i]); err != nil {
			return nil, err
		}
		one := effectOf(d, before.situations[i], i)
		if one.Results, err = before.files.ofDifference(before.numbered(i), nameOf(before.situations[i], i), c, after.files, d); err != nil {
			return nil, err
		}
		out.Differences = append(out.Differences, one)
	}
	var err error
	out.Expected, out.Busy, err = after.together()
	return out, err
}

func effectOf(d *coverage.Difference, s coverage.Situation, i int) Effect {
	out := Effect{Name: nameOf(s, i), Share: s.Share, Sooner: thousandth(d.Sooner.People), Later: thousandth(d.Later.People),
		MeanGainS: whole(d.MeanGainS()), MeanGainLowS: whole(d.Ranges.MeanS.Low), MeanGainHighS: whole(d.Ranges.MeanS.High)}
	for k, b := range d.Bands {
		out.Bands = append(out.Bands, EffectBand{changeOf(b), thousandth(d.Ranges.Net[k].Low), thousandth(d.Ranges.Net[k].High)})
	}
	return out
}

func changeOf(c coverage.Change) Change {
	return Change{c.WithinS, thousandth(c.Before), thousandth(c.After), thousandth(c.Gained), thousandth(c.Lost)}
}

// maxOutlined is how many cells are written with their outlines, some 400 bytes each; of more
// there is the table.
const maxOutlined = 20_000

// ofDifference adds the files of a comparison, with a page about both, and returns their
// names.
func (f *files) ofDifference(prefix, title string, c *wire.Change, after *files, d *coverage.Difference) ([]string, error) {
	caution := wire.CautionOf(f.region)
	name := c.Name
	if name == "" {
		name = "the change"
	}
	title = f.region.Name + ": " + title
	before, changed := f.picture(title, d.Before, nil), after.picture(title+", with "+name, d.After, nil)
	page := coverage.Report{Title: title + ", against " + name, Caution: caution, Method: f.method(d.Before), Result: d.Before, Difference: d,
		Name: f.name, Map: before, After: changed}
	made := []product{{"difference.csv", TypeCSV, d.WriteCSV}}
	if len(d.LongerS) <= maxOutlined {
		made = append(made, product{"difference.geojson", TypeGeoJSON, func(w io.Writer) error { return d.WriteGeoJSON(w, caution) }})
	}
	if changed != nil {
		changed.Marks = coverage.Added(before.Marks, changed.Marks)
		page.Changes = &coverage.DifferenceMap{Title: title + ", what " + name + " does", Note: caution, Difference: d, Marks: changed.Marks}
		made = append(made, product{"difference.svg", TypeSVG, page.Changes.WriteSVG}, product{"difference.png", TypePNG, page.Changes.WritePNG})
	}
	return f.add(prefix, append(made, product{"report.html", TypeHTML, page.WriteHTML}))
}
