package routing

import (
	"bytes"
	_ "embed" // the shipped parameters
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"surgeonward/facilities"
)

// The marks say how far a number can be trusted.
const (
	MarkRead       = "read"       // seen in the source named
	MarkMemory     = "memory"     // quoted from the source without seeing it
	MarkDerived    = "derived"    // computed from numbers seen in the source
	MarkAssumption = "assumption" // no source
	MarkRegion     = "region"     // the region's own, with its source
)

// Allowance is one default duration of the model with where it comes from.
type Allowance struct {
	ID       string
	What     string // one plain phrase
	Timing   facilities.Timing
	Source   string // publication, or "assumption"
	Date     string // when the source was published or the assumption made: a year, a month or a day
	Mark     string // how far the typical figure can be trusted: one of the marks
	SlowMark string // how far the slow figure can be trusted
	Note     string // the arithmetic from source to figure; may be empty for a region's own
}

// Parameter is one number of the model that is no duration.
type Parameter struct {
	ID     string
	What   string // one plain phrase
	Value  float64
	Unit   string // as in "km/h"; "1" for a pure number
	Source string // as in Allowance
	Date   string
	Mark   string
	Note   string
}

//go:embed allowances.json
var allowancesFile []byte

//go:embed parameters.json
var parametersFile []byte

// shipped are the decoded parameter files. They are part of the program: a
// fault in them is a fault in the program, which every test would meet.
var shipped = sync.OnceValue(func() shippedValues {
	allowances, err := decodeAllowances(allowancesFile)
	if err != nil {
		panic(err)
	}
	parameters, err := decodeParameters(parametersFile)
	if err != nil {
		panic(err)
	}
	return shippedValues{allowances, parameters}
})

type shippedValues struct {
	allowances map[string]Allowance
	parameters map[string]Parameter
}

// AllowanceIDs returns the ids of all allowances in order.
func AllowanceIDs() []string { return slices.Sorted(maps.Keys(shipped().allowances)) }

// origin is what both parameter files say of every number.
type origin struct {
	ID     string `json:"id"`
	What   string `json:"what"`
	Source string `json:"source"`
	Date   string `json:"date"`
	Mark   string `json:"mark"`
	Note   string `json:"note"`
}

func (o origin) check() error {
	for _, m := range []struct{ name, value string }{
		{"id", o.ID}, {"what", o.What}, {"source", o.Source}, {"date", o.Date}, {"note", o.Note},
	} {
		if m.value == "" {
			return fmt.Errorf("parameter %q: missing %s", o.ID, m.name)
		}
	}
	return checkMark(o.ID, o.Mark, o.Source)
}

func checkMark(id, mark, source string) error {
	if !slices.Contains([]string{MarkRead, MarkMemory, MarkDerived, MarkAssumption}, mark) {
		return fmt.Errorf("parameter %q: unknown mark %q", id, mark)
	}
	if source == MarkAssumption && mark != MarkAssumption {
		return fmt.Errorf("parameter %q: mark %q without a source", id, mark)
	}
	return nil
}

func decodeAllowances(data []byte) (map[string]Allowance, error) {
	var file struct {
		Allowances []struct {
			origin
			TypicalS *float64 `json:"typical_s"`
			SlowS    *float64 `json:"slow_s"`
			SlowMark string   `json:"slow_mark"`
		} `json:"allowances"`
	}
	if err := decodeShipped(data, &file); err != nil {
		return nil, fmt.Errorf("allowances: %w", err)
	}
	out := make(map[string]Allowance, len(file.Allowances))
	for _, a := range file.Allowances {
		if err := a.check(); err != nil {
			return nil, err
		}
		if err := checkMark(a.ID, a.SlowMark, a.Source); err != nil {
			return nil, err
		}
		if a.TypicalS == nil || a.SlowS == nil {
			return nil, fmt.Errorf("parameter %q: missing typical_s or slow_s", a.ID)
		}
		timing := facilities.Timing{TypicalS: *a.TypicalS, SlowS: *a.SlowS}
		if !timing.Valid() {
			return nil, fmt.Errorf("parameter %q: not a duration: typical %v s, slow %v s", a.ID, *a.TypicalS, *a.SlowS)
		}
		if _, twice := out[a.ID]; twice {
			return nil, fmt.Errorf("parameter %q is given twice", a.ID)
		}
		out[a.ID] = Allowance{ID: a.ID, What: a.What, Timing: timing,
			Source: a.Source, Date: a.Date, Mark: a.Mark, SlowMark: a.SlowMark, Note: a.Note}
	}
	return out, nil
}

func decodeParameters(data []byte) (map[string]Parameter, error) {
	var file struct {
		Parameters []struct {
			origin
			Value *float64 `json:"value"`
			Unit  string   `json:"unit"`
		} `json:"parameters"`
	}
	if err := decodeShipped(data, &file); err != nil {
		return nil, fmt.Errorf("parameters: %w", err)
	}
	out := make(map[string]Parameter, len(file.Parameters))
	for _, p := range file.Parameters {
		if err := p.check(); err != nil {
			return nil, err
		}
		if p.Value == nil || p.Unit == "" {
			return nil, fmt.Errorf("parameter %q: missing value or unit", p.ID)
		}
		if _, twice := out[p.ID]; twice {
			return nil, fmt.Errorf("parameter %q is given twice", p.ID)
		}
		out[p.ID] = Parameter{ID: p.ID, What: p.What, Value: *p.Value, Unit: p.Unit,
			Source: p.Source, Date: p.Date, Mark: p.Mark, Note: p.Note}
	}
	return out, nil
}

func decodeShipped(data []byte, file any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	return d.Decode(file)
}

// concerns reports whether an allowance is one of the kind of asset's own: its
// id bears the kind's name, as in load_helicopter_running, or it is about what
// is done with any asset, or any aircraft, or any helicopter.
func concerns(id string, kind AssetKind) bool {
	switch id {
	case "escort_join", "team_alight", "team_board":
		return true
	case "refuel", "refuel_running":
		return kind == Helicopter || kind == Aeroplane
	case "winch", "winch_lower":
		return kind == Helicopter
	case "open_chest": // an aeroplane brings its crew to no patient
		return kind != Aeroplane
	}
	return strings.Contains(id, string(kind))
}
