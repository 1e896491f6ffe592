package routing

import (
	"errors"
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/geo/wind"
	"surgeonward/routing/road"
)

// leg is one movement of one asset. Every travel time of the product is made
// by problem.travel from a leg; everything else adds legs up.
type leg struct {
	id      string
	asset   *Asset
	lane    Lane
	from    orb.Point
	to      place
	leavesS float64 // seconds after the decision time
	cold    bool    // aircraft: the engine is started first
	fixed   bool    // it begins where its unit stands, when that is ready: whatever the scene
	begun   bool    // a fact says that it is under way, and leavesS is when it left
	spentS  float64 // since when, in seconds
}

// arrivesS is when a leg of some duration ends, in seconds after the decision
// time: not before that where it is known to be under way.
func (l *leg) arrivesS(takesS float64) float64 {
	if l.begun {
		return max(0, l.leavesS+takesS)
	}
	return l.leavesS + takesS
}

// place is somewhere a leg ends.
type place struct {
	at       orb.Point
	ground   *facilities.Ground // the surface an aircraft lands on; nil: unprepared, or none is needed
	zone     *time.Location
	name     string
	prepared bool // a pad or a known site, which needs no look from above
}

// trip is a leg on the clock: its activity, what rules it out and what a
// person must look at.
type trip struct {
	node
	reasons  []Reason
	cautions []string
	lost     bool // no time can be made
}

// travel makes the leg's time, by road or by air as its asset moves.
func (p *problem) travel(l leg) trip {
	move := p.drive
	if l.asset.Flies() {
		move = p.fly
	}
	t := move(l)
	if l.begun && !t.lost {
		t.spend(l.spentS)
	}
	return t
}

func (p *problem) fly(l leg) trip {
	metres := geo.Distance(l.from, l.to.at)
	ids := l.asset.Kind.ids()
	departure, _ := p.allowance(l.asset, ids.departure)
	approachID := ids.approach
	if !l.to.prepared {
		approachID = ids.approachScene
	}
	approach, _ := p.allowance(l.asset, approachID)
	sol, windy, err := p.overGround(l, metres)
	if err != nil {
		return trip{lost: true, reasons: []Reason{reason(ReasonWind, "%s", err)}}
	}
	b := basis{form: fromFlight, a: metres, b: l.asset.CruiseMS, c: departure.TypicalS, d: approach.TypicalS, air: sol, windy: windy}
	windS := p.windS(metres, sol.GroundSpeedMS)
	timing := facilities.Fixed(metres / sol.GroundSpeedMS).Add(departure).Add(approach)
	timing.SlowS += windS
	if l.cold {
		start, _ := p.allowance(l.asset, "helicopter_start")
		timing = timing.Add(start)
		if !p.brief {
			b.text = "engine start " + minutes(start.TypicalS) + ", "
		}
	}
	t := trip{node: node{
		id: l.id, kind: KindTravel, lane: l.lane, asset: l.asset, timing: timing,
		metres: metres, from: l.from, to: l.to.at, goal: l.to.name, byAir: true, basis: b, windS: windS,
	}}
	t.reasons, t.cautions = p.judge(&l, &t.node)
	t.reasons = append(t.reasons, landing(l.asset, l.to, p.after(l.arrivesS(timing.TypicalS)))...)
	return t
}

// slowestShare is the least of the expected ground speed that the slow wind
// leaves: an assumption, which keeps a flight into a strong wind finite.
const slowestShare = 0.25

// windS is how much longer the flight takes when the head wind is worse than
// expected by what it stays under 9 times in 10, in seconds.
func (p *problem) windS(metres, groundMS float64) float64 {
	slower := max(groundMS-p.Settings.WindSlowMS, groundMS*slowestShare)
	return metres/slower - metres/groundMS
}

// overGround solves the wind triangle at the leg's middle, where its course is
// the mean of the great circle's.
func (p *problem) overGround(l leg, metres float64) (sol wind.Solution, windy bool, err error) {
	still := wind.Solution{GroundSpeedMS: l.asset.CruiseMS}
	if p.weather.Empty() || metres == 0 {
		return still, false, nil
	}
	middle := geo.Interpolate(l.from, l.to.at, 0.5)
	at := p.weather.At(middle, p.after(l.leavesS))
	if at.Wind == nil {
		return still, false, nil
	}
	track, w := geo.InitialBearing(middle, l.to.at), *at.Wind
	if at.VariableWind {
		w.FromDeg = track // from nowhere in particular: taken as a head wind
	}
	sol, err = wind.Triangle(track, l.asset.CruiseMS, w)
	if err != nil {
		return still, true, fmt.Errorf("%w (wind %s)", err, at.From)
	}
	return sol, true, nil
}

// driveKey is what a drive's time depends on.
type driveKey struct {
	from, to orb.Point
	law      road.Law
	leavesS  float64
}

// drive asks the road estimator, once for each drive: the shapes with two
// vehicles try the same drives again and again.
func (p *problem) drive(l leg) trip {
	law := p.law(l.asset)
	key := driveKey{l.from, l.to.at, law, l.leavesS}
	if p.brief {
		return p.driveInBrief(&l, &key)
	}
	t, known := p.drives[key]
	if !known {
		t = p.route(l, law)
		p.drives[key] = t
	}
	t.id, t.lane, t.asset, t.goal = l.id, l.lane, l.asset, l.to.name
	return t
}

func (p *problem) route(l leg, law road.Law) trip {
	tree, err := p.roadFrom(&l, law, p.after(l.leavesS))
	var route road.Route
	if err == nil {
		route, err = tree.To(l.to.at)
	}
	if err != nil {
		why := "no way by road"
		if errors.Is(err, road.ErrUnreachable) {
			why = err.Error()
		}
		return trip{lost: true, reasons: []Reason{reason(ReasonUnreachable, "%s", why)}}
	}
	return trip{node: node{
		kind:   KindTravel,
		timing: facilities.Timing{TypicalS: route.TypicalS, SlowS: route.SlowS},
		metres: route.DistanceM, from: l.from, to: l.to.at, path: route.Path,
		basis: basis{form: fromRoad, text: route.Basis},
	}}
}

// noRoad is why a drive is lost where nobody reads why.
var noRoad = []Reason{{Code: ReasonUnreachable, Detail: "no way by road"}}

// driven is all that counts of a drive in brief.
type driven struct {
	timing facilities.Timing
	lost   bool
}

// driveInBrief is drive with nothing but the time.
func (p *problem) driveInBrief(l *leg, key *driveKey) trip {
	d, known := p.times[*key]
	if !known {
		tree, err := p.roadFrom(l, key.law, p.after(l.leavesS))
		if err == nil {
			d.timing, err = road.Time(tree, l.to.at)
		}
		d.lost = err != nil
		if p.times == nil {
			p.times = map[driveKey]driven{}
		}
		p.times[*key] = d
	}
	if d.lost {
		return trip{lost: true, reasons: noRoad}
	}
	return trip{node: node{id: l.id, kind: KindTravel, lane: l.lane, asset: l.asset, timing: d.timing, from: l.from, to: l.to.at}}
}

// atLeast is a time in seconds that the leg cannot beat, from distances alone:
// by air no wind but the strongest tail wind, by road a straight road at
// cruise speed. Pruning rests on it.
func (p *problem) atLeast(a *Asset, metres float64) float64 {
	if p.fast == nil {
		p.fast = p.newFastest()
	}
	if a.Flies() {
		return metres / (a.CruiseMS + p.fast.windMS)
	}
	return metres / p.fast.of(p.law(a))
}

// law is how a road vehicle moves: its own way, or the region's.
func (p *problem) law(a *Asset) road.Law {
	if a.Road != nil {
		return *a.Road
	}
	return p.Settings.Road
}
