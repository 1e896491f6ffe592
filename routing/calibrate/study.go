package calibrate

import (
	"fmt"
	"math/rand/v2"

	"surgeonward/facilities"
	"surgeonward/routing"
)

// study is the work on one stage: the region, then its groups.
type study struct {
	*calibration
	stage    string
	aircraft routing.AssetKind // travel_air only

	region *Finding                  // once it is found
	fit    *roadFit                  // the region's, with what was fitted
	fitted *roadData                 // to what
	byRow  map[int]facilities.Timing // what the region's figures, fitted without the journey, say of it
}

// refit fits to journeys and returns what the fit says of any.
type refit func(others []item) func(*item) facilities.Timing

func (s *study) finding(p part) Finding {
	f := Finding{Stage: s.stage, Aircraft: string(s.aircraft), Group: p.group, Journeys: len(p.items),
		OutOfLine: []int{}, Estimates: []Estimate{}, Notes: []string{}, BelongsIn: belongsIn(s.stage, p.group)}
	now := make([]facilities.Timing, len(p.items))
	for i := range p.items {
		now[i] = p.items[i].now
	}
	f.Now = score(p.items, now, true)
	f.ByRegion = s.byRegion(p.items)
	if len(p.items) < MinGroup {
		f.note("%d journeys are too few for figures of their own: %d are needed", len(p.items), MinGroup)
		return f
	}
	if n := len(p.group.Pooled); n > 1 {
		f.note("%d values with fewer than %d journeys each are put together", n, MinGroup)
	}
	var again refit
	switch s.stage {
	case TravelRoad:
		again = s.road(&f, p)
	case TravelAir:
		again = s.air(&f, p)
	default:
		again = s.allowance(&f, p)
	}
	said := held(p.items, s.options.Folds, s.draws("folds", p.group), again)
	fitted := score(p.items, said, s.stage != TravelAir)
	f.Fitted = &fitted
	if p.group.By == ByRegion {
		s.keep(f, p.items, said)
	} else if s.region != nil {
		f.compare(s.region.Estimates)
	}
	f.propose()
	return f
}

// keep remembers the region's finding for the groups.
func (s *study) keep(f Finding, items []item, said []facilities.Timing) {
	s.region, s.byRow = &f, make(map[int]facilities.Timing, len(items))
	for i := range items {
		s.byRow[items[i].Row] = said[i]
	}
}

// byRegion scores the region's fitted figures; nil where one of the journeys is
// not the region's.
func (s *study) byRegion(items []item) *Score {
	said := make([]facilities.Timing, len(items))
	for i := range items {
		timing, ok := s.byRow[items[i].Row]
		if !ok {
			return nil
		}
		said[i] = timing
	}
	out := score(items, said, s.stage != TravelAir)
	return &out
}

func (s *study) draws(purpose string, g Group) *rand.Rand {
	return source(s.options.Seed, purpose+string(s.aircraft), s.stage, g)
}

// asset is the one a group is about, else nil.
func (s *study) asset(g Group) *routing.Asset {
	if g.By != ByAsset {
		return nil
	}
	return s.calibration.region.assets[g.Value]
}

func (s *study) road(f *Finding, p part) refit {
	asset := s.asset(p.group)
	now := roadNow{factor: s.settings().RoadFactor, law: s.settings().Road}
	if asset != nil && asset.Road != nil {
		now.law = *asset.Road
	}
	d := newRoadData(p.items, now)
	if p.group.By == ByAsset {
		s.asRegion(d)
	}
	fit, sd := d.fit()
	f.OutOfLine = append(f.OutOfLine, d.outOfLine(fit)...)
	widths := d.sample(fit.factor).widths(lawCurve{}, fit.p, sd)
	all := d.bootstrap(fit, sd, s.draws("bootstrap", p.group), s.options.replicates(len(p.items)))
	f.Estimates = append(f.Estimates, d.estimates(fit, all, widths)...)
	if p.group.By == ByRegion {
		s.fit, s.fitted = &fit, d
	}
	if p.group.By != ByAsset {
		if !d.fitsFactor {
			f.note("%d journeys with driven_m are too few for a road factor, %d are needed: the one in force is kept", len(d.ratios), MinGroup)
		}
		if !d.fitsSpread {
			f.note("%d journeys are too few for a spread, %d are needed: the one in force is kept", len(p.items), MinSpread)
		}
	}
	return func(others []item) func(*item) facilities.Timing {
		part := d.some(others)
		fit, _ := part.fit()
		return func(it *item) facilities.Timing { return part.says(fit, it) }
	}
}

// asRegion takes factor and spread from the region's fit where there is one: an
// asset has a speed and an acceleration of its own, and nothing else.
func (s *study) asRegion(d *roadData) {
	d.fitsFactor, d.fitsSpread = false, false
	if s.fit == nil {
		return
	}
	d.now.factor = s.fit.factor
	if s.fitted.fitsSpread {
		d.now.law.Spread = s.fit.variation.spread()
	}
}

func (s *study) settings() *routing.Settings { return s.calibration.region.settings }

func (s *study) air(f *Finding, p part) refit {
	asset := s.asset(p.group)
	d := &flightData{items: p.items, kind: s.aircraft, cruiseMS: s.settings().HelicopterCruiseMS}
	if s.aircraft == routing.Aeroplane {
		d.cruiseMS = s.settings().AeroplaneCruiseMS
	}
	if asset != nil && asset.CruiseMS > 0 {
		d.cruiseMS = asset.CruiseMS
	}
	for _, id := range fixedPart(s.aircraft) {
		timing, _ := s.calibration.region.timing(id, asset)
		d.fixed = d.fixed.Add(timing)
	}
	d.finish(f, s.draws("bootstrap", p.group), s.options.replicates(len(p.items)))
	return func(others []item) func(*item) facilities.Timing {
		part := *d
		part.items = others
		fit, _ := part.fit()
		return func(it *item) facilities.Timing { return part.says(fit, it) }
	}
}

func (s *study) allowance(f *Finding, p part) refit {
	now, _ := s.calibration.region.timing(f.Stage, s.asset(p.group))
	fitAllowance(p.items).finish(f, now)
	return func(others []item) func(*item) facilities.Timing {
		timing := fitAllowance(others).timing()
		return func(*item) facilities.Timing { return timing }
	}
}

// compare marks the figures that the region's are not good for.
func (f *Finding) compare(region []Estimate) {
	for i := range f.Estimates {
		e := &f.Estimates[i]
		for _, r := range region {
			if r.Parameter == e.Parameter {
				e.Differs = !e.Interval.Has(r.Fitted)
			}
		}
	}
}

// propose says whether the figures are worth applying, and why not. A group's
// must differ from the region's fitted ones and beat them by more than chance:
// what is wrong everywhere is not put right in one place, and of many groups
// some look different for no reason.
func (f *Finding) propose() {
	settled, differs := true, false
	for _, e := range f.Estimates {
		differs = differs || e.Differs
		if !e.Settled {
			settled = false
			f.note("%s is not settled by these journeys", e.Parameter)
		}
	}
	if f.Fitted.WithinSlow != nil && f.Fitted.WithinSlow.Verdict() == TooQuick {
		f.note("the fitted slow figure is still too quick: look at the rows out of line first")
	}
	switch {
	case f.Stage == TravelAir:
	case f.Fitted.Loss >= f.Now.Loss:
		f.note("the figures in force are as good on journeys that these were not fitted to: keep them")
	case f.ByRegion != nil && !(differs && f.Fitted.beats(f.ByRegion, z99)):
	default:
		f.Proposed = settled && f.BelongsIn != ""
	}
}

// belongsIn names the file that can hold figures of a group.
func belongsIn(stage string, g Group) string {
	switch {
	case stage == TravelAir, len(g.Pooled) > 0, g.Value == unnamed:
		return ""
	case g.By == ByRegion:
		return "settings.json"
	case g.By == ByAsset:
		return "fleet.json"
	case g.By == ByArea && stage == TravelRoad:
		return "roads.geojson"
	}
	return ""
}

func (f *Finding) note(format string, args ...any) {
	f.Notes = append(f.Notes, fmt.Sprintf(format, args...))
}
