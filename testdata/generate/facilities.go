package main

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// site is a facility beside a settlement: dx and dy are kilometres east and
// north of its centre.
type site struct {
	id, name, by string
	dx, dy       float64
	rest         object
}

// facilityFile is the region's list: hospitals, airfields, bases, landing sites.
func facilityFile(all []island) object {
	where := places(all)
	var features []object
	add := func(kind string, sites []site) {
		for _, s := range sites {
			p := stand(where[s.by], s.dx, s.dy, all)
			properties := object{{"kind", kind}, {"name", s.name}}
			for _, m := range s.rest {
				if pad, ok := m.value.(padAway); ok {
					m.value = pad.object(p, all)
				}
				properties = append(properties, m)
			}
			features = append(features, feature(s.id, "Point", lonLat(p), properties))
		}
	}
	add("hospital", hospitals)
	add("airfield", airfields)
	add("base", bases)
	add("landing_site", landingSites)
	return collection(features)
}

// stand returns a spot on land near an offset from p: never in the surf.
func stand(p orb.Point, dx, dy float64, all []island) orb.Point {
	q := orb.Point{p[0] + dx, p[1] + dy}
	return inland(q, nearestIsland(p, all).coast, 0.12)
}

// padAway is a pad at some distance from its hospital's door.
type padAway struct {
	dx, dy float64
	rest   object
}

func (a padAway) object(door orb.Point, all []island) object {
	p := stand(door, a.dx, a.dy, all)
	return append(object{{"position", lonLat(p)}}, a.rest...)
}

func timing(typical, slow int) object {
	return object{{"typical_s", typical}, {"slow_s", slow}}
}

var (
	weekdays  = []string{"mon", "tue", "wed", "thu", "fri"}
	everyDay  = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}
	isOpen    = object{{"state", "open"}}
	isClosed  = object{{"state", "closed"}}
	residents = object{{"presence", "resident"}}
)

// openHours is a rota that is open every day between two local times.
func openHours(from, to string) object {
	return object{{"otherwise", isClosed}, {"weekly", []object{window(everyDay, from, to, isOpen)}}}
}

// window is a weekly window of a rota with its value.
func window(days []string, from, to string, value object) object {
	return append(object{{"days", days}, {"from", from}, {"to", to}}, value...)
}

// always is a rota that never changes.
func always(value object) object { return object{{"otherwise", value}} }

func onCall(typical, slow int) object {
	return object{{"presence", "on_call"}, {"call_in", timing(typical, slow)}}
}

func ready(typical, slow int) object { return object{{"ready", timing(typical, slow)}} }

func has(flags, flag string) bool { return slices.Contains(strings.Fields(flags), flag) }
