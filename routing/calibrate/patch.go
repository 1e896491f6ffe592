package calibrate

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
)

// Patch is a change to settings.json as a JSON merge patch (RFC 7396): what is
// not in it stays as it is. It holds the region's figures only, and of those
// only the ones that are settled and that say other journeys better.
type Patch struct {
	Road       *RoadPatch             `json:"road,omitempty"`
	Allowances map[string]TimingPatch `json:"allowances,omitempty"`
	Sources    map[string]Origin      `json:"sources,omitempty"`
}

// RoadPatch is the region's travel by road.
type RoadPatch struct {
	RoadFactor            *float64     `json:"road_factor,omitempty"`
	CruiseKMH             float64      `json:"cruise_kmh"`
	AccelerationKMHPerMin float64      `json:"acceleration_kmh_per_min"`
	Spread                *SpreadPatch `json:"spread,omitempty"`
}

// SpreadPatch is the three figures of road.Spread, in minutes.
type SpreadPatch struct {
	B0 float64 `json:"b0"`
	B1 float64 `json:"b1"`
	B2 float64 `json:"b2"`
}

// TimingPatch is one allowance with where it comes from.
type TimingPatch struct {
	TypicalS float64 `json:"typical_s"`
	SlowS    float64 `json:"slow_s"`
	Origin
}

// Origin is where a figure comes from.
type Origin struct {
	Source string `json:"source"`
	Date   string `json:"date"`
}

// Empty reports whether nothing is proposed.
func (p *Patch) Empty() bool {
	return p.Road == nil && len(p.Allowances) == 0
}

// Text is the patch as a file: indented JSON, its members always in the same
// order.
func (p *Patch) Text() (string, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(p); err != nil {
		return "", err
	}
	return b.String(), nil
}

// patch collects what is proposed for the region.
func patch(r *Result) Patch {
	p := Patch{Allowances: map[string]TimingPatch{}, Sources: map[string]Origin{}}
	for i := range r.Findings {
		f := &r.Findings[i]
		if !f.Proposed || f.Group.By != ByRegion {
			continue
		}
		from := r.origin(f)
		switch f.Stage {
		case TravelRoad:
			p.road(f, from)
		default:
			p.Allowances[f.Stage] = TimingPatch{TypicalS: *f.value(f.Stage + " typical_s"), SlowS: *f.value(f.Stage + " slow_s"), Origin: from}
		}
	}
	return p
}

// origin is the journeys themselves; the date is that of the last.
func (r *Result) origin(f *Finding) Origin {
	const day = "2006-01-02"
	return Origin{
		Source: fmt.Sprintf("calibrated on %d journeys of the region, %s to %s", f.Journeys, r.From.Format(day), r.To.Format(day)),
		Date:   r.To.Format(day),
	}
}

func (p *Patch) road(f *Finding, from Origin) {
	p.Road = &RoadPatch{
		RoadFactor:            f.value("road_factor"),
		CruiseKMH:             *f.value("road_cruise_kmh"),
		AccelerationKMHPerMin: *f.value("road_acceleration_kmh_per_min"),
	}
	if b0 := f.value("road_spread_b0"); b0 != nil {
		p.Road.Spread = &SpreadPatch{B0: *b0, B1: *f.value("road_spread_b1"), B2: *f.value("road_spread_b2")}
	}
	for _, e := range f.Estimates {
		if strings.HasPrefix(e.Parameter, "road_") {
			p.Sources[e.Parameter] = from
		}
	}
}

// value is a fitted figure as a person would write it; nil: not fitted.
func (f *Finding) value(parameter string) *float64 {
	for _, e := range f.Estimates {
		if e.Parameter == parameter {
			v := roundTo(e.Fitted, patchDigits)
			return &v
		}
	}
	return nil
}
