package calibrate

import (
	"slices"
	"strings"

	"surgeonward/routing"
)

// Calibrate fits the model's figures to journeys, against the settings and the
// fleet in force; fleet may be nil. The journeys are as Decode returns them.
// The same journeys, settings and options give the same result to the byte.
//
// A road journey is timed as the great circle times the region's road factor:
// barriers, crossings and areas of a road map are not looked at. An allowance
// that a facility states for itself is not known here, since a journey does not
// name the facility.
func Calibrate(journeys []Journey, settings *routing.Settings, fleet *routing.Fleet, o Options) *Result {
	c := calibration{region: newRegion(settings, fleet), options: o.orDefault()}
	out := &Result{Journeys: len(journeys), Untimed: []int{}, Findings: []Finding{}, Totals: totals(journeys)}
	byStage := map[string][]item{}
	unknown := map[string]bool{}
	for i := range journeys {
		j := &journeys[i]
		if out.From.IsZero() || j.StartedAt.Before(out.From) {
			out.From = j.StartedAt
		}
		if j.StartedAt.After(out.To) {
			out.To = j.StartedAt
		}
		if fleet != nil && j.Asset != "" && c.region.assets[j.Asset] == nil {
			unknown[j.Asset] = true
		}
		it, ok := c.region.item(j)
		if !ok {
			out.Untimed = append(out.Untimed, j.Row)
			continue
		}
		byStage[j.Stage] = append(byStage[j.Stage], it)
	}
	out.Unknown = sortedKeys(unknown, strings.Compare)
	for _, stage := range sortedKeys(byStage, byTravelFirst) {
		out.Findings = append(out.Findings, c.stage(stage, byStage[stage])...)
	}
	out.Patch = patch(out)
	return out
}

func sortedKeys[V any](m map[string]V, compare func(a, b string) int) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, compare)
	return keys
}

func byTravelFirst(a, b string) int {
	travels := func(stage string) int {
		return slices.Index([]string{TravelAir, TravelRoad}, stage)
	}
	if c := travels(b) - travels(a); c != 0 {
		return c
	}
	return strings.Compare(a, b)
}

type calibration struct {
	region  *region
	options Options
}

// stage finds what the journeys of one stage say. Kinds of aircraft are kept
// apart: they share no figure.
func (c *calibration) stage(stage string, items []item) []Finding {
	if stage != TravelAir {
		return findings(&study{calibration: c, stage: stage}, items)
	}
	var out []Finding
	for _, kind := range []routing.AssetKind{routing.Helicopter, routing.Aeroplane} {
		var some []item
		for i := range items {
			if items[i].flies == kind {
				some = append(some, items[i])
			}
		}
		out = append(out, findings(&study{calibration: c, stage: stage, aircraft: kind}, some)...)
	}
	return out
}

// findings is the region first, whose figures the groups are compared with.
func findings(s *study, items []item) []Finding {
	var out []Finding
	for _, p := range parts(items) {
		out = append(out, s.finding(p))
	}
	return out
}
