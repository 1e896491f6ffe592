package facilities

import "time"

// PresenceAt returns where the surgeon for the capability is at t, and false where the
// hospital states no surgeons for it.
func (f *Facility) PresenceAt(capability string, t time.Time) (Presence, bool) {
	rota, ok := f.Surgeons[capability]
	if !ok {
		return Presence{}, false
	}
	return rota.At(t, f.Zone), true
}

// TheatreAt returns how soon a theatre is ready at t; its zero value, the regional
// default, where the hospital says nothing.
func (f *Facility) TheatreAt(t time.Time) Theatre {
	if f.Theatre == nil {
		return Theatre{}
	}
	return f.Theatre.At(t, f.Zone)
}

// OpenAt reports whether the surface may be used at t, by its hours in the facility's
// zone.
func (g Ground) OpenAt(t time.Time, zone *time.Location) bool {
	return g.Hours == nil || isOpen(g.Hours.At(t, zone))
}

// NextOpen returns the first instant from t up to t plus within at which the surface
// may be used, and false if there is none; see [Rota.NextStart].
func (g Ground) NextOpen(t time.Time, zone *time.Location, within time.Duration) (time.Time, bool) {
	if g.Hours == nil {
		return t, true
	}
	return g.Hours.NextStart(t, zone, isOpen, within)
}

func isOpen(o Opening) bool { return o.State == openState }

// openState is the Opening.State of a surface that can be used.
const openState = "open"
