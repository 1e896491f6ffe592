package facilities

import (
	"maps"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
)

// maxPadDistance is how far in metres a pad can be from the door before a slip in the
// position is likelier than a long transfer (assumption).
const maxPadDistance = 20_000.0

func (r *featureReader) hospital(f *Facility, properties node) {
	r.capabilities(f, properties)
	r.surgeons(f, properties)
	f.Theatre = readRota(r, properties, "theatre", func(n node) Theatre {
		return Theatre{Ready: r.timing(n, "ready")}
	})
	if f.Theatre == nil && len(f.Surgeons) > 0 {
		r.warn(properties.pointer, `no "theatre": the regional default for its readiness applies`)
	}
	f.Handover = r.timing(properties, "handover")
	f.Accepting = accepting(properties)
	f.Away = r.away(f, properties)
	f.Pad = r.pad(f.Position, properties)
}

func (r *featureReader) capabilities(f *Facility, properties node) {
	for _, item := range properties.items("capabilities") {
		word, ok := item.value.(string)
		if !ok {
			continue
		}
		f.Capabilities = append(f.Capabilities, word)
		if slices.Contains(vocabularyWords, word) {
			continue
		}
		if near, ok := strictjson.Nearest(word, vocabularyWords); ok {
			r.warn(item.pointer, "capability %s is not a known one: did you mean %s?", strictjson.Quote(word), strictjson.Quote(near))
		} else {
			r.warn(item.pointer, "capability %s is not a known one: it only counts for questions that use the same word", strictjson.Quote(word))
		}
	}
	slices.Sort(f.Capabilities)
	if len(f.Capabilities) == 0 {
		r.warn(properties.pointer, `no "capabilities": this hospital meets no need but the empty one`)
	}
}

func (r *featureReader) surgeons(f *Facility, properties node) {
	at, stated := properties.member("surgeons")
	for _, capability := range slices.Sorted(maps.Keys(at.object())) {
		rota := readRota(r, at, capability, r.presence)
		if f.Surgeons == nil {
			f.Surgeons = map[string]Rota[Presence]{}
		}
		f.Surgeons[capability] = *rota
		if !f.Has(capability) {
			r.fault(at.pointer+strictjson.Pointer(capability), `surgeons are given for %s, which is not among "capabilities": %s`,
				strictjson.Quote(capability), capabilityFix(capability, f.Capabilities))
		}
	}
	where := properties.pointer
	if stated {
		where = at.pointer
	}
	for _, capability := range f.Capabilities {
		if _, ok := f.Surgeons[capability]; !ok && needsSurgeons(capability) {
			r.fault(where, `no "surgeons" entry for %s: add one that says when the surgeon is resident, on_call or absent`, strictjson.Quote(capability))
		}
	}
}

func capabilityFix(word string, listed []string) string {
	if near, ok := strictjson.Nearest(word, listed); ok {
		return "did you mean " + strictjson.Quote(near) + "?"
	}
	return "add it there or remove it here"
}

func (r *featureReader) presence(n node) Presence {
	p := Presence{Attendance: Attendance(n.text("presence")), CallIn: r.timing(n, "call_in")}
	if p.CallIn != nil && (p.Attendance == Resident || p.Attendance == Absent) {
		r.warn(n.pointer+"/call_in", `"call_in" counts only with presence "on_call": remove it or correct "presence"`)
	}
	return p
}

func accepting(properties node) Accepting {
	n, ok := properties.member("accepting")
	if !ok {
		return Accepting{State: Open}
	}
	return Accepting{State: AcceptState(n.text("state")), Reason: n.text("reason"), Until: until(n)}
}

// away reads what cannot be had just now.
func (r *featureReader) away(f *Facility, properties node) (out []Away) {
	for _, n := range properties.items("away") {
		a := Away{What: AwayKind(n.text("what")), Capability: n.text("capability"), Reason: n.text("reason"), Until: until(n)}
		if _, known := f.Surgeons[a.Capability]; a.Capability != "" && !known {
			r.fault(n.pointer+"/capability", `no surgeons are given for %s: use one of "surgeons", or leave it out for all of them`, strictjson.Quote(a.Capability))
		}
		out = append(out, a)
	}
	return out
}

// until reads the instant at which a state ends; zero when absent.
func until(n node) (end time.Time) {
	if text := n.text("until"); text != "" {
		// what cannot be read is the schema's fault to report
		_ = end.UnmarshalText([]byte(text))
	}
	return end
}

func (r *featureReader) pad(door orb.Point, properties node) *Pad {
	n, ok := properties.member("pad")
	if !ok {
		return nil
	}
	pad := &Pad{
		Position: door, ToDoor: r.timing(n, "to_door"),
		VehicleNeeded: n.flag("vehicle_needed"), ShuttleCall: r.timing(n, "shuttle_call"),
		Ground: r.ground(n),
	}
	if pad.ShuttleCall != nil && !pad.VehicleNeeded {
		r.warn(n.pointer+"/shuttle_call", `"shuttle_call" counts only with "vehicle_needed": remove it, or set "vehicle_needed" to true`)
	}
	if at, ok := n.member("position"); ok {
		pad.Position = r.position(at)
		if away := geo.Distance(door, pad.Position); !r.bad && away > maxPadDistance {
			r.warn(at.pointer, "the pad is %.0f km from the door: check both positions", away/1000)
		}
	}
	return pad
}

func (r *featureReader) ground(n node) Ground {
	occupied, _ := n.member("occupied")
	return Ground{
		Lit: n.flag("lit"),
		Hours: readRota(r, n, "hours", func(n node) Opening {
			return Opening{State: n.text("state")}
		}),
		MaxDValueM: n.number("max_d_value_m"),
		MaxMassKg:  n.number("max_mass_kg"),
		RunwayM:    n.number("runway_m"),
		Fuel:       n.flag("fuel"),
		RoadAccess: n.flag("road_access"),
		Occupied:   until(occupied),
		Clear:      clearArea(n),
	}
}

func clearArea(n node) *ClearArea {
	m, ok := n.member("clear_area")
	if !ok {
		return nil
	}
	length, width := m.number("length_m"), m.number("width_m")
	if length == nil || width == nil {
		return nil // the schema says so
	}
	return &ClearArea{LengthM: max(*length, *width), WidthM: min(*length, *width), Surveyed: m.flag("surveyed")}
}
