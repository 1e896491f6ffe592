package facilities

import (
	"fmt"
	"regexp"
	"strconv"
	"time"

	"surgeonward/facilities/strictjson"
)

var idForm = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,63}$`)

// featureReader turns one feature into a facility and gathers what is wrong with it.
type featureReader struct {
	*decoder
	id   string
	kind Kind
	bad  bool // an error was found
}

func (r *featureReader) fault(pointer, format string, args ...any) {
	r.bad = true
	r.errs.add(Fault{Feature: r.id, Pointer: pointer, Detail: fmt.Sprintf(format, args...)})
}

func (r *featureReader) warn(pointer, format string, args ...any) {
	r.warnings.add(Fault{Feature: r.id, Pointer: pointer, Detail: fmt.Sprintf(format, args...)})
}

// feature reads the i-th feature. It returns an error only to stop at the limit.
func (d *decoder) feature(i int, value any) error {
	if i >= d.opt.MaxFeatures {
		return fmt.Errorf("the file has more than %d features: split it", d.opt.MaxFeatures)
	}
	n := node{value: value, pointer: "/features/" + strconv.Itoa(i)}
	r := featureReader{decoder: d}
	if id := n.text("id"); idForm.MatchString(id) {
		r.id = id
	}
	d.ids = append(d.ids, r.id)
	if _, ok := value.(map[string]any); !ok {
		r.fault(n.pointer, "feature %d must be an object", i)
		return nil
	}
	properties, _ := n.member("properties")
	for name, v := range properties.object() {
		if v == nil {
			delete(properties.object(), name)
		}
	}
	for _, f := range d.schema.feature.CheckValue(value) {
		r.fault(n.pointer+f.Pointer, "%s", f.Detail)
	}
	r.kind = likelyKind(properties.text("kind"))
	r.foreignMembers(n, properties)
	facility := r.facility(n, properties)
	if !r.bad {
		d.places = append(d.places, n)
		d.facilities = append(d.facilities, facility)
	}
	return nil
}

// likelyKind returns the kind that a word stands for, so that one misspelt word does
// not hide the other faults of its feature.
func likelyKind(word string) Kind {
	if near, ok := strictjson.Nearest(word, []string{string(Hospital), string(LandingSite), string(Airfield), string(Base)}); ok {
		return Kind(near)
	}
	return Kind(word)
}

func (r *featureReader) facility(n, properties node) *Facility {
	f := &Facility{ID: r.id, Kind: r.kind, Name: properties.text("name"), Zone: r.zone(properties)}
	if geometry, ok := n.member("geometry"); ok && geometry.text("type") == "Point" {
		if coordinates, ok := geometry.member("coordinates"); ok {
			f.Position = r.position(coordinates)
		}
	}
	r.idHint(n, properties)
	switch r.kind {
	case Hospital:
		r.hospital(f, properties)
	case LandingSite, Airfield:
		ground := r.ground(properties)
		f.Ground = &ground
	case Base:
		f.Fuel = properties.flag("fuel")
	}
	return f
}

// idHint helps after a save with a map program that moved the id.
func (r *featureReader) idHint(n, properties node) {
	_, outside := n.member("id")
	if inside, ok := properties.member("id"); ok && !outside {
		r.fault(inside.pointer, `"id" belongs beside "properties", not in it: move it there`)
	}
}

// zone returns the facility's time zone. The name Local is refused: it would mean
// another zone on every machine.
func (r *featureReader) zone(properties node) *time.Location {
	fallback := r.opt.Zone
	if fallback == nil {
		fallback = time.UTC
	}
	n, stated := properties.member("time_zone")
	if !stated {
		if r.opt.Zone == nil && hasHours(properties) {
			r.warn(properties.pointer, `no "time_zone" here and none for the region: hours are taken as UTC`)
		}
		return fallback
	}
	name, ok := n.value.(string)
	if !ok || len(name) > 64 {
		return fallback
	}
	zone, seen := r.zones[name]
	if !seen {
		if loaded, err := time.LoadLocation(name); err == nil && name != "Local" && name != "" {
			zone = loaded
		}
		r.zones[name] = zone
	}
	if zone == nil {
		r.fault(n.pointer, `"time_zone" %s is not a known IANA time zone: use a name such as "Etc/GMT+2"`, strictjson.Quote(name))
		return fallback
	}
	return zone
}

func hasHours(properties node) bool {
	if pad, ok := properties.member("pad"); ok {
		if _, ok := pad.member("hours"); ok {
			return true
		}
	}
	for _, name := range []string{"surgeons", "theatre", "hours"} {
		if _, ok := properties.member(name); ok {
			return true
		}
	}
	return false
}
