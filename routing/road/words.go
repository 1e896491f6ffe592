package road

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"surgeonward/geo"
)

// words is a route's basis while it is put together.
type words struct {
	parts []string
	plain bool // one straight stretch on the region's own roads
}

// drive says what a stretch of roadM metres of road consists of.
func (v *words) drive(t *Terrain, law Law, l *leg, roadM float64) {
	v.plain = len(v.parts) == 0 && len(l.nodes) == 0 && len(l.pieces) == 1 && l.pieces[0].area < 0
	var detail []string
	for _, part := range byArea(l.pieces) {
		w := t.country.in(part.area)
		s := kilometres(part.metres)
		if w.name != "" {
			s += " in " + w.name
		}
		s += fmt.Sprintf(" x %.4g", w.factor)
		if w.pace != 1 {
			s += fmt.Sprintf(" at %.4g km/h", law.CruiseMS/w.pace/KilometrePerHour)
		}
		detail = append(detail, s)
	}
	var round, by []string
	for i, k := range l.nodes {
		switch n := &t.nodes[k]; {
		case n.corner:
			if name := t.m.Barriers[n.barrier].Name; !slices.Contains(round, name) {
				round = append(round, name)
			}
		case l.over[i]:
			by = append(by, t.crossingWords(law, (int(k)-t.ends)/2))
		}
	}
	if len(round) > 0 {
		detail = append(detail, "round "+strings.Join(round, " and "))
	}
	if len(by) > 0 {
		detail = append(detail, "by "+strings.Join(by, " and "))
	}
	if roadM < 1 && !v.plain {
		return // from one quay to the next
	}
	s := "road " + kilometres(roadM)
	if len(detail) > 0 {
		s += ": " + strings.Join(detail, ", ")
	}
	v.parts = append(v.parts, s)
}

func (t *Terrain) crossingWords(law Law, i int) string {
	c := &t.m.Crossings[i]
	s := c.Name
	if c.LengthM > 0 {
		s += " " + kilometres(c.LengthM)
	}
	if c.SpeedMS > 0 {
		s += fmt.Sprintf(" at %.4g km/h", law.CruiseMS*c.SpeedMS/t.region.Law.CruiseMS/KilometrePerHour)
	}
	return s
}

// byArea adds up the pieces of each area, in the order in which they come.
func byArea(pieces []piece) []piece {
	var sums []piece
	for _, part := range pieces {
		if part.measured {
			continue
		}
		if i := slices.IndexFunc(sums, func(s piece) bool { return s.area == part.area }); i >= 0 {
			sums[i].metres += part.metres
		} else {
			sums = append(sums, part)
		}
	}
	return sums
}

// sail says when a ferry leaves, how long it takes, and what a slow vehicle
// gets instead.
func (v *words) sail(c *Crossing, typical, slow sailing, missed bool, zone *time.Location) {
	at, instead := "", ""
	if !typical.leaves.IsZero() {
		at = " at " + typical.leaves.In(zone).Format("15:04")
	}
	switch {
	case missed:
		instead = " (a slow vehicle has none within two days)"
	case !slow.leaves.Equal(typical.leaves):
		instead = " (a slow vehicle: " + clock(slow.leaves, typical.leaves, zone) + ")"
	}
	v.parts = append(v.parts, fmt.Sprintf("%s%s%s after %s on the quay, %s under way", c.Name, at, instead,
		inMinutes(typical.waitS+c.Service.Boarding.TypicalS), inMinutes(c.Service.Sailing.TypicalS)))
}

// basis is what the route's duration and distance come from.
func (b *builder) basis() string {
	law, straightM := b.w.law, geo.Distance(b.start.given, b.end.given)
	if b.words.plain && b.start.offM == 0 && b.end.offM == 0 {
		return GreatCircle{Factor: b.w.t.region.Factor}.basis(straightM, b.roadM, law)
	}
	s := strings.Join(b.words.parts, "; ")
	for _, off := range []struct {
		what string
		p    *place
	}{{"start", b.start}, {"end", b.end}} {
		if off.p.offM > 0 {
			s += fmt.Sprintf("; the %s is %.0f m off the coast and taken to the shore", off.what, off.p.offM)
		}
	}
	return s + fmt.Sprintf("; great circle %s in all, accelerating at %.4g km/h per minute to %.4g km/h",
		kilometres(straightM), law.AccelerationMS2/KilometrePerHourPerMinute, law.CruiseMS/KilometrePerHour)
}

func kilometres(m float64) string { return fmt.Sprintf("%.1f km", m/1000) }

func inMinutes(s float64) string {
	m := int(s/60 + 0.5)
	if m < 60 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}
