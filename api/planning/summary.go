package planning

import (
	"math"
	"time"

	"surgeonward/api/wire"
	"surgeonward/routing/coverage"
)

// Summary is the figures of a question of coverage.
type Summary struct {
	wire.Head
	Places     Places      `json:"places"`
	Situations []Situation `json:"situations"`
	Expected   *Expected   `json:"expected,omitempty"` // over several situations
	Busy       *Busy       `json:"busy,omitempty"`     // over all situations, while assets are out on calls
	Changed    *Changed    `json:"changed,omitempty"`  // with the change that was asked for
}

// Places are where was looked.
type Places struct {
	Cells   int     `json:"cells"`
	CellM   float64 `json:"cell_m,omitempty"` // left out where points were looked at
	People  float64 `json:"people"`
	AreaKM2 float64 `json:"area_km2"`
}

// Situation is the figures of one situation. A time that nobody reaches is null.
type Situation struct {
	Name      string     `json:"name"`
	Share     float64    `json:"share"`
	At        string     `json:"at"`
	Reached   Band       `json:"reached"` // anybody at all
	Within    []Band     `json:"within"`
	ByPeople  Quantiles  `json:"by_people"`
	ByArea    Quantiles  `json:"by_area"`
	Slow      Quantiles  `json:"slow_by_people"`
	MeanS     *float64   `json:"mean_s"`
	Curve     []Band     `json:"curve"`
	Worst     []Worst    `json:"worst"`
	Assets    []Load     `json:"assets"`
	Hospitals []Load     `json:"hospitals"`
	Shapes    []Load     `json:"shapes"`
	Lost      *Quantiles `json:"lost,omitempty"` // while the first asset is away
	Results   []string   `json:"results"`
}

// Band is who is within a time; without one, who is reached at all.
type Band struct {
	WithinS *float64 `json:"within_s,omitempty"`
	People  float64  `json:"people"`
	AreaKM2 float64  `json:"area_km2"`
}

// Quantiles are times that shares of all stay within.
type Quantiles struct {
	MedianS *float64 `json:"median_s"`
	P90S    *float64 `json:"p90_s"`
}

// Worst is a place that waits longest.
type Worst struct {
	Name     string   `json:"name"`
	People   float64  `json:"people"`
	TypicalS *float64 `json:"typical_s"`
}

// Load is what one asset, hospital or shape carries.
type Load struct {
	ID      string  `json:"id"`
	People  float64 `json:"people"`
	AreaKM2 float64 `json:"area_km2"`
	Cells   int     `json:"cells"`
}

// Expected is the figures over all situations by their shares.
type Expected struct {
	Reached Band     `json:"reached"`
	Within  []Band   `json:"within"`
	MeanS   *float64 `json:"mean_s"`
}

func placesOf(d *coverage.Demand) Places {
	p := Places{Cells: len(d.Cells), People: thousandth(d.People()), AreaKM2: thousandth(d.AreaM2() / 1e6)}
	if d.Grid != nil {
		p.CellM = d.Grid.CellM
	}
	return p
}

func situationOf(r *coverage.Result, s coverage.Situation, i int) Situation {
	sum := r.Summary()
	out := Situation{
		Name: nameOf(s, i), Share: s.Share, At: r.Question.At.UTC().Format(time.RFC3339),
		Reached: bandOf(sum.Reached), Within: bandsOf(sum.Bands), ByPeople: quantilesOf(sum.ByPeople), ByArea: quantilesOf(sum.ByArea),
		Slow: quantilesOf(sum.Slow), MeanS: whole(sum.MeanS), Curve: bandsOf(sum.Curve), Worst: []Worst{},
		Assets: loadsOf(sum.Assets), Hospitals: loadsOf(sum.Hospitals), Shapes: loadsOf(sum.Shapes),
	}
	for _, w := range sum.Worst {
		out.Worst = append(out.Worst, Worst{w.Name, thousandth(w.People), whole(w.TimeS)})
	}
	if r.Second {
		lost := quantilesOf(sum.LostS)
		out.Lost = &lost
	}
	return out
}

func expectedOf(e *coverage.Expected) *Expected {
	return &Expected{Reached: bandOf(e.Reached), Within: bandsOf(e.Bands), MeanS: whole(e.MeanS)}
}

func bandOf(b coverage.Band) Band {
	return Band{whole(b.WithinS), thousandth(b.People), thousandth(b.AreaM2 / 1e6)}
}

func bandsOf(bands []coverage.Band) []Band {
	out := []Band{}
	for _, b := range bands {
		out = append(out, bandOf(b))
	}
	return out
}

func quantilesOf(q coverage.Quantile) Quantiles { return Quantiles{whole(q.MedianS), whole(q.P90S)} }

func loadsOf(loads []coverage.Load) []Load {
	out := []Load{}
	for _, l := range loads {
		out = append(out, Load{l.ID, thousandth(l.People), thousandth(l.AreaM2 / 1e6), l.Cells})
	}
	return out
}

// whole is a time to the second; nil where it is not finite.
func whole(s float64) *float64 {
	if math.IsInf(s, 0) || math.IsNaN(s) {
		return nil
	}
	s = math.Round(s)
	return &s
}

func thousandth(v float64) float64 { return math.Round(v*1000) / 1000 }
