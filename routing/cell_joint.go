package routing

import (
	"cmp"
	"math"
	"slices"

	"surgeonward/geo"
)

// together looks at the shapes that need more than one vehicle or a stop, as far
// as their bounds allow, the most promising unit and hospital first.
func (c *cell) together() {
	c.groups = c.groups[:0]
	c.takeovers()
	c.flights()
	c.visits()
	if len(c.groups) == 0 {
		return
	}
	slices.SortFunc(c.groups, func(a, b group) int {
		return cmp.Or(cmp.Compare(a.leastS, b.leastS), cmp.Compare(a.unit, b.unit), cmp.Compare(a.dest, b.dest))
	})
	c.gather()
	for k := range c.groups {
		if c.groups[k].leastS > c.limitS() {
			break
		}
		c.join(&c.groups[k])
	}
}

// add notes what the rows have for a unit, and clears them.
func (c *cell) add(i int) {
	for j := range c.f.to {
		for k, shape := range [...]Shape{Rendezvous, ViaHospital} {
			if s := c.rows[k][j]; !math.IsInf(s, 1) {
				c.groups = append(c.groups, group{int32(i), int32(j), shape, s})
				c.rows[k][j] = math.Inf(1)
			}
		}
	}
}

// brought is the least until an ambulance has put the patient down at each meeting.
func (c *cell) brought() {
	c.f.byRoad.chords(geo.Unit(c.Scene.Position), c.byRoadM)
	for m := range c.bringS {
		c.bringS[m] = math.Inf(1)
	}
	for k := range c.f.laws {
		least := math.Inf(1)
		for i := range c.f.units {
			if u := &c.f.units[i]; u.law == k && c.from[i].Kind == Ambulance {
				least = min(least, c.onS[i]+u.rideS)
			}
		}
		if math.IsInf(least, 1) {
			continue
		}
		for m, metres := range c.byRoadM {
			c.bringS[m] = min(c.bringS[m], least+c.f.laws[k].S(max(0, metres-floorM)))
		}
	}
	for m := range c.bringS {
		c.bringS[m] += c.f.meets[m].waitS
	}
}

// takenS is the least total of an aircraft that takes over at a meeting, whatever
// the hospital.
func (c *cell) takenS(i, m int) float64 {
	return max(c.bringS[m], c.f.there[i][m]) + c.f.onward[i][m]
}

// takeovers are the helicopters that take over at a landing place or at a hospital
// where the patient has stopped, and the units that go on themselves after a stop.
func (c *cell) takeovers() {
	limit := c.limitS()
	ready := false
	for i := range c.f.units {
		some := c.stops(i, limit)
		if c.f.there[i] == nil || c.f.soonest[i] > limit {
			if some {
				c.add(i)
			}
			continue
		}
		if !ready {
			ready = true
			c.brought()
		}
		for m := range c.f.meets {
			if c.takenS(i, m) > limit {
				continue
			}
			at := &c.f.meets[m]
			on, row := max(c.bringS[m], c.f.there[i][m]), c.rows[at.row()]
			for j := range c.f.to {
				t := &c.f.to[j]
				if !t.ok || !t.pad || at.dest == j {
					continue
				}
				if s := max(on+c.f.onwardS(i, m, j), t.readyS); s <= limit {
					row[j], some = min(row[j], s), true
				}
			}
		}
		if some {
			c.add(i)
		}
	}
}

// row is where a take-over at the place is noted.
func (m *meetFloor) row() int {
	if m.stop != nil {
		return 1
	}
	return 0
}

// stops notes where a unit goes on itself after a stop at a nearer hospital: not
// sooner than without the stop.
func (c *cell) stops(i int, limit float64) (some bool) {
	u := &c.f.units[i]
	if k := c.from[i].Kind; !u.carries || c.unitS[i]+u.stopS > limit || k != Ambulance && k != Helicopter {
		return false
	}
	for j := range c.f.to {
		if s := max(c.aloneS(i, j), c.onS[i]+c.rideS(i, j)+u.stopS); s <= limit {
			c.rows[1][j], some = s, true
		}
	}
	return some
}

// flights are the aeroplanes.
func (c *cell) flights() {
	if len(c.f.flights) == 0 {
		return
	}
	limit := c.limitS()
	c.brought()
	for k := range c.f.flights {
		w := &c.f.flights[k]
		for j := range c.f.to {
			t := &c.f.to[j]
			if s := max(max(c.bringS[w.from], w.thereS)+w.byTo[j], t.readyS); t.ok && s <= limit {
				c.groups = append(c.groups, group{int32(w.unit), int32(j), ByAeroplane, s})
			}
		}
	}
}

// visits are the units that carry a surgical team.
func (c *cell) visits() {
	limit := c.limitS()
	clear(c.brings)
	for i := range c.f.units {
		for j, teamS := range c.f.team[i] {
			if teamS > limit {
				continue
			}
			least := math.Inf(1)
			for k := range c.f.units {
				if k != i && c.f.units[k].carries {
					least = min(least, c.onS[k]+c.rideS(k, j))
				}
			}
			if s := max(teamS, least); s <= limit {
				for k := range c.f.units {
					c.brings[k] = c.brings[k] || k != i && c.f.units[k].carries && c.onS[k]+c.rideS(k, j) <= limit
				}
				c.groups = append(c.groups, group{int32(i), int32(j), SurgeonTravels, s})
			}
		}
	}
}

// gather works out the approaches that the groups need, and which ambulances could
// bring the patient to a meeting in time.
func (c *cell) gather() {
	clear(c.wanted)
	road, places := false, false
	for k := range c.groups {
		switch c.groups[k].shape {
		case ByAeroplane:
			road, places = true, true
		case Rendezvous, ViaHospital:
			road = true
		}
	}
	for i := range c.f.units {
		c.wanted[i] = places && c.from[i].Kind == Ambulance
	}
	if road {
		c.wantCarriers()
		for i := range c.wanted {
			if c.wanted[i] {
				c.approachOf(i)
			}
		}
		c.meet.roadsides(c.wanted)
		clear(c.meet.patients) // they are of who was wanted before
	}
	for k, brings := range c.brings {
		if brings {
			c.approachOf(k)
		}
	}
	if places {
		for i := range c.meet.places {
			m := &c.meet.places[i]
			m.sceneM = geo.Distance(c.Scene.Position, m.at)
		}
	}
}

// wantCarriers marks the ambulances that could be in time with the patient at a
// meeting that could be in time.
func (c *cell) wantCarriers() {
	limit := c.limitS()
	for i := range c.f.units {
		if c.f.there[i] == nil || c.f.soonest[i] > limit {
			continue
		}
		for m := range c.f.meets {
			if c.takenS(i, m) > limit {
				continue
			}
			inTime := limit - c.f.onward[i][m] - c.f.meets[m].waitS
			for k := range c.f.units {
				u := &c.f.units[k]
				if c.wanted[k] || c.from[k].Kind != Ambulance || c.onS[k]+u.rideS > inTime {
					continue
				}
				c.wanted[k] = c.onS[k]+u.rideS+c.f.laws[u.law].S(max(0, c.byRoadM[m]-floorM)) <= inTime
			}
		}
	}
}

// join builds a group's ways.
func (c *cell) join(g *group) {
	i, j := int(g.unit), int(g.dest)
	a, d := &c.from[i], &c.to[j]
	switch g.shape {
	case Rendezvous:
		c.record(a, d, Rendezvous, func() (candidate, []Reason) { return c.rendezvous(i, j) })
	case ViaHospital:
		c.record(a, d, ViaHospital, func() (candidate, []Reason) { return c.via(i, j) })
	case ByAeroplane:
		c.record(a, d, ByAeroplane, func() (candidate, []Reason) { return c.meet.aeroplane(a.unit, d, &c.w) })
	case SurgeonTravels:
		c.record(a, d, SurgeonTravels, func() (candidate, []Reason) { return c.meet.surgeonTravels(a.unit, d, c.teams, &c.w) })
	}
}

// rendezvous is that of meetings over the places that a bound leaves open.
func (c *cell) rendezvous(i, j int) (candidate, []Reason) {
	u, d, limit := c.from[i].unit, &c.to[j], c.limitS()
	list := c.list[:0]
	for m := range c.f.meets {
		at := &c.f.meets[m]
		if at.place == nil || at.dest == j {
			continue
		}
		if s := max(c.bringS[m], c.f.there[i][m]) + c.f.onwardS(i, m, j); s <= limit {
			list = append(list, prospect{way: way{shape: Rendezvous, dest: d, meet: at.place}, leastS: s * notLess, key: at.key})
		}
	}
	c.list = list
	return c.problem.best(list, ofHandover, &c.w, func(t *prospect) []Reason { return c.meet.meetAt(&t.way, u) })
}

// via is that of meetings over the stops that a bound leaves open.
func (c *cell) via(i, j int) (candidate, []Reason) {
	u, d, limit := c.from[i].unit, &c.to[j], c.limitS()
	list := c.list[:0]
	if c.f.units[i].carries && c.onS[i]+c.rideS(i, j)+c.f.units[i].stopS <= limit {
		a := c.approachOf(i)
		for k := range c.to {
			if k != j && c.f.to[k].helpful {
				if t, ok := c.meet.sameAfter(a, d, &c.to[k]); ok {
					list = append(list, t)
				}
			}
		}
	}
	for m := range c.f.meets {
		at := &c.f.meets[m]
		if at.stop == nil || at.dest == j || c.f.there[i] == nil {
			continue
		}
		if s := max(c.bringS[m], c.f.there[i][m]) + c.f.onwardS(i, m, j); s <= limit {
			list = append(list, prospect{way: way{shape: ViaHospital, dest: d, via: at.stop}, leastS: s * notLess, key: at.key})
		}
	}
	c.list = list
	return c.problem.best(list, ofHandover, &c.w, func(t *prospect) []Reason { return c.meet.stopAt(&t.way, u) })
}
