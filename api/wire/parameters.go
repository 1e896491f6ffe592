package wire

import (
	"surgeonward/api/region"
)

// ParameterList is every number of the model with where it comes from.
type ParameterList struct {
	Hash       string      `json:"hash"`
	Region     Region      `json:"region"`
	Allowances []Allowance `json:"allowances"`
	Parameters []Parameter `json:"parameters"`
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

// EncodeParameters lists the region's numbers in order of id.
func EncodeParameters(r *region.Region) ParameterList {
	out := ParameterList{Hash: r.Hashes.Parameters, Region: describe(r), Allowances: []Allowance{}, Parameters: []Parameter{}}
	for _, a := range r.Settings.Allowances() {
		out.Allowances = append(out.Allowances, Allowance{ID: a.ID, What: a.What, TypicalS: a.Timing.TypicalS, SlowS: a.Timing.SlowS,
			Source: a.Source, Date: a.Date, Mark: a.Mark, SlowMark: a.SlowMark, Note: a.Note})
	}
	for _, p := range r.Settings.Parameters() {
		out.Parameters = append(out.Parameters, Parameter{ID: p.ID, What: p.What, Value: p.Value, Unit: p.Unit,
			Source: p.Source, Date: p.Date, Mark: p.Mark, Note: p.Note})
	}
	return out
}
