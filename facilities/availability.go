package facilities

import "time"

// PresenceAt returns where the surgeon for the capability is at t, and false where the
// hospital states no surgeons for it. One who is away is absent, whatever the rota says.
func (f *Facility) PresenceAt(capability string, t time.Time) (Presence, bool) {
	rota, ok := f.Surgeons[capability]
	if !ok {
		return Presence{}, false
	}
	if f.surgeonAway(capability, t) != nil {
		return Presence{Attendance: Absent}, true
	}
	return rota.At(t, f.Zone), true
}

// NextPresence returns the first instant from t up to t plus within at which the
// surgeon's presence matches, and that presence; the zero time if there is none.
// See [Rota.NextStart].
func (f *Facility) NextPresence(capability string, t time.Time, match func(Presence) bool, within time.Duration) (time.Time, Presence) {
	rota, ok := f.Surgeons[capability]
	if !ok {
		return time.Time{}, Presence{}
	}
	last := t.Add(within)
	for away := f.surgeonAway(capability, t); away != nil; away = f.surgeonAway(capability, t) {
		if away.Until.IsZero() {
			return time.Time{}, Presence{}
		}
		t = away.Until
	}
	if t.After(last) {
		return time.Time{}, Presence{}
	}
	from, ok := rota.NextStart(t, f.Zone, match, last.Sub(t))
	if !ok {
		return time.Time{}, Presence{}
	}
	return from, rota.At(from, f.Zone)
}

// surgeonAway is what keeps the surgeon for the capability away at t; nil if
// nothing does.
func (f *Facility) surgeonAway(capability string, t time.Time) *Away {
	return f.awayAt(t, func(a *Away) bool {
		return a.What == SurgeonAway && (a.Capability == "" || a.Capability == capability)
	})
}

// TheatreAwayAt is what keeps the theatre from being used at t, and until when it
// can be seen to; nil if nothing does.
func (f *Facility) TheatreAwayAt(t time.Time) *Away {
	away := f.awayAt(t, func(a *Away) bool { return a.What == TheatreAway })
	for next := away; next != nil; {
		away = next
		if away.Until.IsZero() {
			break
		}
		next = f.awayAt(away.Until, func(a *Away) bool { return a.What == TheatreAway })
	}
	return away
}

// awayAt is the first of those concerned that holds at t.
func (f *Facility) awayAt(t time.Time, concerned func(*Away) bool) *Away {
	for i := range f.Away {
		if a := &f.Away[i]; concerned(a) && a.holds(t) {
			return a
		}
	}
	return nil
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
