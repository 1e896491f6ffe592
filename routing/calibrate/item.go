package calibrate

import (
	"math"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing"
)

// shortestM is the shortest great circle that says anything of travel, in
// metres: below it a position's own error and the turning out of the yard are
// the whole of it. An assumption.
const shortestM = 100.0

// item is a journey with what the model says of it now.
type item struct {
	*Journey
	light   string
	directM float64 // great circle: travel only
	logS    float64 // logarithm of the duration
	now     facilities.Timing
	own     bool // now comes from the asset's own figures in fleet.json
	flies   routing.AssetKind
}

// region is what the model knows now.
type region struct {
	settings *routing.Settings
	assets   map[string]*routing.Asset
}

func newRegion(settings *routing.Settings, fleet *routing.Fleet) *region {
	r := &region{settings: settings, assets: map[string]*routing.Asset{}}
	if fleet != nil {
		assets := fleet.Assets()
		for i := range assets {
			r.assets[assets[i].ID] = &assets[i]
		}
	}
	return r
}

// item looks a journey up. It is false for travel that is too short, or that
// the model cannot time at all.
func (r *region) item(j *Journey) (item, bool) {
	it := item{Journey: j, light: j.Light(), logS: math.Log(j.DurationS)}
	if j.Stage == TravelRoad || j.Stage == TravelAir {
		if it.directM = geo.Distance(j.From, j.To); it.directM < shortestM {
			return it, false
		}
	}
	var ok bool
	switch asset := r.assets[j.Asset]; j.Stage {
	case TravelRoad:
		ok = r.byRoad(&it, asset)
	case TravelAir:
		ok = r.byAir(&it, asset)
	default:
		ok = r.allowance(&it, asset)
	}
	return it, ok && it.now.TypicalS > 0
}

func (r *region) byRoad(it *item, asset *routing.Asset) bool {
	law := r.settings.Road
	if asset != nil && asset.Road != nil {
		law, it.own = *asset.Road, true
	}
	timing, err := law.Timing(r.settings.RoadFactor * it.directM)
	it.now = timing
	return err == nil
}

// byAir is a flight in still air: the journeys do not tell the wind. An asset
// that is not in fleet.json is taken for a helicopter.
func (r *region) byAir(it *item, asset *routing.Asset) bool {
	it.flies = routing.Helicopter
	cruise := r.settings.HelicopterCruiseMS
	if asset != nil && asset.Kind == routing.Aeroplane {
		it.flies, cruise = routing.Aeroplane, r.settings.AeroplaneCruiseMS
	}
	if asset != nil && asset.Flies() {
		it.own = asset.CruiseMS > 0
		if it.own {
			cruise = asset.CruiseMS
		}
	}
	it.now = facilities.Fixed(it.directM / cruise)
	for _, id := range fixedPart(it.flies) {
		timing, _ := r.timing(id, asset)
		it.now = it.now.Add(timing)
	}
	return it.now.Valid()
}

// fixedPart are the allowances in every flight of a kind.
func fixedPart(kind routing.AssetKind) []string {
	return []string{string(kind) + "_departure", string(kind) + "_approach"}
}

func (r *region) allowance(it *item, asset *routing.Asset) bool {
	it.now, it.own = r.timing(it.Stage, asset)
	return it.now.Valid()
}

// timing is the asset's own figure, else the region's.
func (r *region) timing(id string, asset *routing.Asset) (timing facilities.Timing, own bool) {
	if asset != nil {
		kind := "mobilise_" + string(asset.Kind)
		switch {
		case id == kind+"_"+Day && asset.MobiliseDay != nil:
			return *asset.MobiliseDay, true
		case id == kind+"_"+Night && asset.MobiliseNight != nil:
			return *asset.MobiliseNight, true
		}
		if t, ok := asset.Allowances[id]; ok {
			return t, true
		}
	}
	return r.settings.Allowance(id).Timing, false
}
