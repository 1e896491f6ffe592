package wire

import (
	"surgeonward/api/region"
	"surgeonward/routing/flight"
)

// ParameterList is every number of the model with where it comes from.
type ParameterList struct {
	Hash       string      `json:"hash"`
	Region     Region      `json:"region"`
	Allowances []Allowance `json:"allowances"`
	Parameters []Parameter `json:"parameters"`
	Minima     []Minima    `json:"minima"`
	Hazards    Hazards     `json:"hazards"`
	Stations   []Station   `json:"weather_stations"`
}

// Allowance is one default duration in seconds.
type Allowance struct {
	ID       string  `json:"id"`
	What     string  `json:"what"`
	TypicalS float64 `json:"typical_s"`
	SlowS    float64 `json:"slow_s"`
	Source   string  `json:"source"`
	Date     string  `json:"date,omitempty"`
	Mark     string  `json:"mark"`
	SlowMark string  `json:"slow_mark"`
	Note     string  `json:"note,omitempty"`
}

// Parameter is one number that is no duration.
type Parameter struct {
	ID     string  `json:"id"`
	What   string  `json:"what"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Source string  `json:"source"`
	Date   string  `json:"date,omitempty"`
	Mark   string  `json:"mark"`
	Note   string  `json:"note,omitempty"`
}

// Minima is a table of weather minima with where it comes from.
type Minima struct {
	ID         string      `json:"id"`
	Label      string      `json:"label"`
	Regulation string      `json:"regulation"`
	Edition    string      `json:"edition"`
	Mark       string      `json:"mark"`
	Source     string      `json:"source"`
	Note       string      `json:"note,omitempty"`
	Rows       []MinimaRow `json:"rows"`
}

// MinimaRow is a ceiling and a visibility that together allow flight.
type MinimaRow struct {
	When        string  `json:"when"`
	Pilots      int     `json:"pilots,omitempty"` // absent: any number
	Aided       bool    `json:"aided,omitempty"`
	Area        string  `json:"area,omitempty"` // absent: any
	CeilingFt   float64 `json:"ceiling_ft"`
	VisibilityM float64 `json:"visibility_m"`
}

// Hazards is what dangerous weather does to a flight: "exclude", "caution" or
// "ignore".
type Hazards struct {
	Thunderstorm  string `json:"thunderstorm"`
	Freezing      string `json:"freezing"`
	IcingPossible string `json:"icing_possible"`
}

// Station is a place whose weather reports can be used.
type Station struct {
	Code     string     `json:"code"`
	Position [2]float64 `json:"position"`
}

// EncodeParameters lists the region's numbers in order of id.
func EncodeParameters(r *region.Region) ParameterList {
	out := ParameterList{Hash: r.Hashes.Parameters, Region: describe(r), Allowances: []Allowance{}, Parameters: []Parameter{},
		Minima: []Minima{}, Stations: []Station{}, Hazards: Hazards{Thunderstorm: string(r.Settings.Thunderstorm),
			Freezing: string(r.Settings.Freezing), IcingPossible: string(r.Settings.IcingPossible)}}
	for _, a := range r.Settings.Allowances() {
		out.Allowances = append(out.Allowances, Allowance{ID: a.ID, What: a.What, TypicalS: a.Timing.TypicalS, SlowS: a.Timing.SlowS,
			Source: a.Source, Date: a.Date, Mark: a.Mark, SlowMark: a.SlowMark, Note: a.Note})
	}
	for _, p := range r.Settings.Parameters() {
		out.Parameters = append(out.Parameters, Parameter{ID: p.ID, What: p.What, Value: p.Value, Unit: p.Unit,
			Source: p.Source, Date: p.Date, Mark: p.Mark, Note: p.Note})
	}
	for _, t := range r.Settings.Minima {
		out.Minima = append(out.Minima, minima(t))
	}
	var n rounder // of positions that the settings' decoder has checked
	for _, w := range r.Settings.Stations {
		out.Stations = append(out.Stations, Station{Code: w.Code, Position: n.position(w.Position)})
	}
	return out
}

func minima(t flight.Table) Minima {
	out := Minima{ID: t.ID, Label: t.Label, Regulation: t.Regulation, Edition: t.Edition, Mark: t.Mark, Source: t.Source, Note: t.Note, Rows: []MinimaRow{}}
	for _, row := range t.Rows {
		out.Rows = append(out.Rows, MinimaRow(row))
	}
	return out
}
