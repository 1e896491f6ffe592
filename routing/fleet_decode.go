package routing

import (
	"strings"
	"time"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing/road"
)

// DecodeFleet reads a region's fleet.json. Bases must be in the list (nil: they
// are not looked up), and what an asset does not state comes from the settings
// (nil: the shipped ones). It returns every fault at once, each with the JSON
// Pointer of the value; the fleet is nil when there is a fault. Warnings do not
// stop the file from being used.
func DecodeFleet(data []byte, list *facilities.List, s *Settings) (fleet *Fleet, faults, warnings []strictjson.Fault) {
	d := newAssetDecoder(list, s)
	if root, ok := d.read(data, fleetSchema()); ok {
		d.refusals = d.refused()
		fleet = d.fleet(root)
	}
	if faults, warnings = d.report(); len(faults) > 0 {
		return nil, faults, warnings
	}
	return fleet, faults, warnings
}

// DecodeAsset reads one asset in full, as in fleet.json, from a value that
// strictjson.Parse or Check returned. Pointers start with at, the asset's
// place in its document.
func DecodeAsset(value any, at string, list *facilities.List, s *Settings) (asset Asset, faults, warnings []strictjson.Fault) {
	d := newAssetDecoder(list, s)
	for _, fault := range assetSchema().CheckValue(value) {
		d.fault(at+fault.Pointer, "%s", fault.Detail)
	}
	d.refusals = d.refused()
	asset = d.asset(member{value, at})
	if faults, warnings = d.report(); len(faults) > 0 {
		return Asset{}, faults, warnings
	}
	return asset, faults, warnings
}

// assetDecoder reads assets against a region.
type assetDecoder struct {
	findings
	list     *facilities.List
	settings *Settings
	refusals map[string]bool // pointers of what the schema has refused
	unknown  int             // bases that are not in the list, so far
}

func newAssetDecoder(list *facilities.List, s *Settings) *assetDecoder {
	if s == nil {
		s = DefaultSettings()
	}
	return &assetDecoder{list: list, settings: s}
}

// maxAssets is the schema's limit too: what is beyond it is not looked at.
const maxAssets = 2000

func (d *assetDecoder) fleet(root member) *Fleet {
	items := root.get("assets").items()
	items = items[:min(len(items), maxAssets)]
	assets := make([]Asset, 0, len(items))
	first := map[string]string{} // id to the pointer of the asset that has it
	for _, item := range items {
		a := d.asset(item)
		if at, twice := first[a.ID]; twice && a.ID != "" {
			d.fault(item.pointer+"/id", "id %s is already the id of %s: give each asset its own", strictjson.Quote(a.ID), at)
			continue
		}
		first[a.ID] = item.pointer
		assets = append(assets, a)
	}
	if len(d.faults) > 0 {
		return nil
	}
	fleet, err := NewFleet(assets)
	if err != nil { // only what the schema and the loop above have refused
		d.fault("/assets", "%s", err)
	}
	return fleet
}

func (d *assetDecoder) asset(m member) Asset {
	a := Asset{
		ID:            m.get("id").text(),
		Name:          m.get("name").text(),
		Kind:          AssetKind(m.get("kind").text()),
		State:         AtBase,
		Skills:        d.skills(m.get("skills")),
		EscortSeats:   int(m.get("escort_seats").number()),
		MobiliseDay:   d.timing(m.get("mobilise").get("day")),
		MobiliseNight: d.timing(m.get("mobilise").get("night")),
	}
	if state := m.get("state").text(); state != "" {
		a.State = AssetState(state)
	}
	base := d.base(m.get("base"))
	a.Base = m.get("base").text()
	a.Zone = d.assetZone(m.get("time_zone"), base)
	a.Hours = d.hours(m)
	d.whereabouts(m, &a)
	d.movement(m, &a)
	a.Allowances = d.ownAllowances(m, a.Kind)
	return a
}

// base looks the base up; nil where it is not known.
func (d *assetDecoder) base(m member) *facilities.Facility {
	id := m.text()
	if id == "" || d.list == nil {
		return nil
	}
	if f, ok := d.list.Get(id); ok {
		return f
	}
	if near, ok := d.nearestFacility(id); ok {
		d.fault(m.pointer, "no facility %s in the list: did you mean %s?", strictjson.Quote(id), strictjson.Quote(near))
	} else {
		d.fault(m.pointer, "no facility %s in the list: add it to the list, or give the asset a position instead", strictjson.Quote(id))
	}
	return nil
}

// nearestFacility compares with the whole list, which takes its time: a file
// full of unknown bases was written for another list and needs no more hints.
func (d *assetDecoder) nearestFacility(id string) (string, bool) {
	const maxHints = 20
	if d.unknown++; d.unknown > maxHints {
		return "", false
	}
	ids := make([]string, 0, d.list.Len())
	for _, f := range d.list.All() {
		ids = append(ids, f.ID)
	}
	return strictjson.Nearest(id, ids)
}

// assetZone is the asset's own zone, else its base's, else the region's.
func (d *assetDecoder) assetZone(m member, base *facilities.Facility) *time.Location {
	if zone := d.zone(m); zone != nil {
		return zone
	}
	if base != nil && base.Zone != nil {
		return base.Zone
	}
	return d.settings.Zone
}

// whereabouts reads where the asset is, and whether that fits its state.
func (d *assetDecoder) whereabouts(m member, a *Asset) {
	position, freeAt, until := m.get("position"), m.get("free_at"), m.get("until")
	if position.given() {
		a.Position = d.position(position)
	}
	if t, err := time.Parse(time.RFC3339, freeAt.text()); err == nil {
		a.FreeAt = t.UTC()
		if year := a.FreeAt.Year(); year < 1970 || year > 2999 {
			d.fault(freeAt.pointer, "free_at is outside the years 1970 to 2999: correct it")
		}
	}
	if t, err := time.Parse(time.RFC3339, until.text()); err == nil {
		a.Until = t.UTC()
		if year := a.Until.Year(); year < 1970 || year > 2999 {
			d.fault(until.pointer, "until is outside the years 1970 to 2999: correct it")
		}
	}
	if until.given() && !m.get("state").given() {
		d.fault(until.pointer, "until is the end of a state, and no state is given: remove it, or give the state")
	}
	if until.given() && a.Base == "" {
		d.fault(until.pointer, "an asset without a base has nowhere to be when its state ends: give its base, or remove until")
	}
	switch a.State {
	case Moving:
		if !position.given() {
			d.fault(m.pointer, "missing field \"position\": a moving asset is somewhere on its way")
		}
	case AtScene:
		if position.given() {
			d.warn(position.pointer, "the position is not used: an asset at_scene is where the patient is")
		}
	case AtBase, Committed:
		if a.Base == "" && !m.get("base").given() && !position.given() {
			d.fault(m.pointer, "missing field \"base\" or \"position\": say where the asset is")
		}
		if a.State == AtBase && a.Base != "" && position.given() {
			d.warn(position.pointer, "an asset at_base with a position starts from the position, not from base %s", strictjson.Quote(a.Base))
		}
	}
	if freeAt.given() && a.State != Committed {
		d.fault(freeAt.pointer, "free_at belongs to the state committed: remove it, or change the state")
	}
}

// movement reads what depends on whether the asset flies or drives.
func (d *assetDecoder) movement(m member, a *Asset) {
	switch a.Kind {
	case Helicopter:
		d.aircraft(m, a, d.settings.HelicopterCruiseMS)
		a.DValueM = m.get("d_value_m").number()
		a.RotorsTurning = m.get("rotors_turning").truth()
		d.refuse(m, "a helicopter", "road", "runway_m")
	case Aeroplane:
		d.aircraft(m, a, d.settings.AeroplaneCruiseMS)
		a.RunwayM = m.get("runway_m").number()
		d.refuse(m, "an aeroplane", "road", "d_value_m", "rotors_turning")
	case Ambulance, ResponseCar:
		a.Road = d.law(m.get("road"))
		d.refuse(m, "a road vehicle", aircraftMembers...)
	}
}

func (d *assetDecoder) refuse(m member, what string, names ...string) {
	for _, name := range names {
		if m.get(name).given() {
			d.fault(m.get(name).pointer, "%s does not belong to %s: remove it", name, what)
		}
	}
}

// law is the region's road law with the asset's own speeds in it.
func (d *assetDecoder) law(m member) *road.Law {
	if !m.given() {
		return nil
	}
	law := d.settings.Road
	if cruise := m.get("cruise_kmh"); cruise.given() {
		law.CruiseMS = cruise.number() * road.KilometrePerHour
	}
	if acceleration := m.get("acceleration_kmh_per_min"); acceleration.given() {
		law.AccelerationMS2 = acceleration.number() * road.KilometrePerHourPerMinute
	}
	return &law
}

// ownAllowances reads the asset's durations in place of the region's. Those of
// other kinds of asset, and of hospitals, have no effect on it, nor has a
// mobilisation that is also stated as such.
func (d *assetDecoder) ownAllowances(asset member, kind AssetKind) map[string]facilities.Timing {
	out := map[string]facilities.Timing{}
	m, mobilise := asset.get("allowances"), asset.get("mobilise")
	for _, id := range m.names() {
		timing := d.timing(m.get(id))
		if _, known := shipped().allowances[id]; !known || timing == nil {
			continue // the schema says so
		}
		switch when, stated := strings.CutPrefix(id, "mobilise_"+string(kind)+"_"); {
		case !concerns(id, kind):
			d.warn(m.get(id).pointer, "%s has no effect on an asset of kind %s: set it in the settings or at the facility", id, kind)
		case stated && mobilise.get(when).given():
			d.warn(m.get(id).pointer, "%s has no effect beside mobilise/%s: keep one", id, when)
		}
		out[id] = *timing
	}
	if len(out) == 0 {
		return nil
	}
	return out
}
