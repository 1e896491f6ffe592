package wire

import (
	"encoding/json"
	"errors"
	"strings"
	"time"

	"surgeonward/api/region"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// planningLimits bound the JSON text of a question of coverage or siting: its points are
// the most of it.
var planningLimits = strictjson.Limits{Bytes: MaxPlanning, Depth: 16, Values: 500_000}

// MaxPlanning is the longest question of coverage or siting, in bytes.
const MaxPlanning = 4 << 20

// Places are where people are: points, and the area of a grid.
type Places struct {
	Points []coverage.Cell
	Area   coverage.Area
	CellM  float64 // 0: no grid, the points alone
}

// CoverageRequest is a question of coverage as it was understood.
type CoverageRequest struct {
	Situations []coverage.Situation
	Places     Places
	Second     bool
	Busy       *coverage.Calls // nil: assets are always free
	Change     *Change         // nil: the region as it is alone
}

// DecodeCoverage reads the body of POST /v1/coverage against its schema. A
// *RequestError has every fault, those against the region included.
func DecodeCoverage(schema *strictjson.Schema, body []byte, r *region.Region, now time.Time) (CoverageRequest, error) {
	b, m, err := beginPlanning(schema, body, r)
	if err != nil {
		return CoverageRequest{}, err
	}
	q := CoverageRequest{Places: b.places(m), Second: m.get("second").truth(), Busy: b.calls(m.get("busy"))}
	for _, item := range first(m.get("situations").items(), maxSituations) {
		q.Situations = append(q.Situations, b.situation(item, now))
	}
	q.Change = b.change(m, now)
	return q, b.planningError()
}

// The schemas' bounds on lists.
const (
	maxSituations = 24
	maxCandidates = 200
	maxBusyAssets = 500
)

// beginPlanning is begin for long bodies.
func beginPlanning(schema *strictjson.Schema, body []byte, r *region.Region) (*builder, member, error) {
	value, faults := schema.Check(body, planningLimits)
	if len(faults) > 0 {
		var broken []strictjson.Fault
		if value, broken = strictjson.Parse(body, planningLimits); len(broken) > 0 {
			return nil, member{}, &RequestError{Kind: Syntax, Faults: Pointers(faults)}
		}
	}
	return &builder{region: r, faults: faults}, member{value: value}, nil
}

func (b *builder) planningError() error {
	if len(b.faults) == 0 {
		return nil
	}
	return &RequestError{Kind: Content, Faults: Pointers(strictjson.Sort(b.faults))}
}

// situation reads a situation, and asks the engine what in it contradicts the region.
func (b *builder) situation(m member, now time.Time) coverage.Situation {
	s := coverage.Situation{Name: m.get("name").text(), Share: 1, Question: b.request(m, now).Question}
	if share, ok := m.get("share").number(); ok {
		s.Share = share
	}
	s.Question.Scene.Landing = routing.LandingPossible
	if word := m.get("landing").text(); word != "" {
		s.Question.Scene.Landing = routing.Landing(word)
	}
	if len(b.faults) > 0 {
		return s // the engine would say the same again in other words
	}
	var refused *routing.QuestionError
	if _, err := b.region.Engine.Batch(s.Question); errors.As(err, &refused) {
		for _, f := range refused.Faults {
			b.faults = append(b.faults, strictjson.Fault{Pointer: m.pointer + f.Pointer, Detail: f.Detail})
		}
	} else if err != nil {
		b.fault(m, "%s", err)
	}
	return s
}

// calls reads how many calls come, and who answers them.
func (b *builder) calls(m member) *coverage.Calls {
	if !m.given() {
		return nil
	}
	c := &coverage.Calls{Depth: coverage.UsualDepth}
	c.PerDay, _ = m.get("calls_per_day").number()
	minutes, _ := m.get("service_min").number()
	c.ServiceS = minutes * 60
	if depth, ok := m.get("depth").number(); ok {
		c.Depth = int(min(max(depth, 0), coverage.MaxDepth))
	}
	for _, item := range first(m.get("assets").items(), maxBusyAssets) {
		if a := b.like(item); a.ID != "" {
			c.Assets = append(c.Assets, a.ID)
		}
	}
	return c
}

// places reads the points and the area, or takes the region's land for the area.
func (b *builder) places(m member) Places {
	var p Places
	p.CellM, _ = m.get("cell_m").number()
	if demand := m.get("demand"); demand.given() {
		text, err := json.Marshal(demand.value)
		if err == nil {
			p.Points, p.Area, err = coverage.DecodeGeoJSON(text)
		}
		b.demandFaults(demand, err)
	}
	switch {
	case p.CellM == 0 && len(p.Points) == 0 && !m.get("demand").given():
		b.fault(m, "says nowhere to look: give demand with points, or cell_m for a grid")
	case p.CellM == 0 && len(p.Area) > 0 && len(p.Points) == 0:
		b.fault(m, "has an area and no points: give cell_m for a grid over it")
	case p.CellM > 0 && len(p.Area) == 0:
		if p.Area = coverage.Land(b.region.RoadMap()); len(p.Area) == 0 {
			b.fault(m.get("cell_m"), "a grid needs an area: the region's roads have no coast, so give polygons in demand")
		}
	}
	return p
}

func (b *builder) demandFaults(demand member, err error) {
	var faults coverage.Faults
	if !errors.As(err, &faults) {
		if err != nil {
			b.fault(demand, "%s", err)
		}
		return
	}
	for _, f := range faults {
		pointer := demand.pointer
		if strings.HasPrefix(f.At, "/") {
			pointer += strings.TrimSuffix(f.At, "/")
		}
		b.faults = append(b.faults, strictjson.Fault{Pointer: pointer, Detail: f.Detail})
	}
}

// HeadOf is what every answer begins with, for one that is made elsewhere.
func HeadOf(at time.Time, r *region.Region, build string) Head { return head(at, r, build) }

// CautionOf is the caution of a file without a head: the product's own and, of an
// invented region, that it is one.
func CautionOf(r *region.Region) string {
	if r.Demonstration {
		return routing.Caution + " " + DemonstrationNote
	}
	return routing.Caution
}
