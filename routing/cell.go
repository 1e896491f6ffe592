package routing

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// cell answers for one scene of a batch after the other, in memory that it keeps.
// Everything that could be the answer is first bounded from the batch's floors,
// and only what a bound leaves open is built; what is built is built as for the
// desk, so that the answer is the same to the last bit.
type cell struct {
	search
	*contest
	f    *floors
	slow *slows
	meet meetings
	have []bool // by unit: its approach is worked out
	road []spot
	air  []spot
	none []Reason // why air has no place
	open bool     // air is worked out
	away bool     // an aircraft can take the patient nowhere but from where they lie

	slackM  float64   // how far from the scene an aircraft may take the patient
	baseM   []float64 // chords from the scene, by unit, door, pad, meeting and site
	doorM   []float64
	padM    []float64
	byRoadM []float64
	siteM   []float64
	onS     []float64 // by unit: the least until the patient is on board; +Inf: never
	doorS   []float64 // by law and hospital: the least by road, handing over included
	leastS  []float64 // by law: the least of those
	pairs   []leastPair
	order   []int32 // units by what no hospital beats
	unitS   []float64
	bringS  []float64 // by meeting: the least until the patient is put down there by road
	groups  []group
	rows    [2][]float64 // by hospital: the least by rendezvous and with a stop, for one unit
	brings  []bool       // by unit: it could bring the patient to a hospital to which a team comes
	wanted  []bool       // by unit: it could bring the patient to a meeting
	list    []prospect

	said map[way]Best // answers so far, by their ways
	last Best         // and the last of them
	by   way
}

// leastPair is a unit that takes the patient to a hospital alone.
type leastPair struct {
	unit, dest int32
	leastS     float64
}

// group is a unit and a hospital in a shape that needs more than the unit itself.
type group struct {
	unit, dest int32
	shape      Shape
	leastS     float64
}

// newCell is a cell for a worker.
func (b *Batch) newCell() *cell {
	p := *b.p
	p.shared, p.brief, p.times, p.trees = b.shared, true, map[driveKey]driven{}, map[treeKey]rooted{}
	p.fuelS = map[fuelKey]float64{}
	p.Limit = 1
	f, n := b.floors(), len(b.shared.units)
	c := &cell{search: search{problem: &p, to: b.shared.to, teams: b.shared.teams, from: make([]approach, n)}, contest: newContest(), f: f,
		have: make([]bool, n), baseM: make([]float64, n), onS: make([]float64, n), unitS: make([]float64, n), wanted: make([]bool, n), brings: make([]bool, n),
		doorM: make([]float64, len(f.to)), padM: make([]float64, len(f.to)), byRoadM: make([]float64, len(f.meets)),
		siteM: make([]float64, len(f.lands)), bringS: make([]float64, len(f.meets)),
		doorS: make([]float64, len(f.laws)*len(f.to)), leastS: make([]float64, len(f.laws))}
	c.said = map[way]Best{}
	c.slow = newSlows(c.sampler, &b.shared.columns)
	for k := range c.rows {
		c.rows[k] = make([]float64, len(f.to))
		for j := range c.rows[k] {
			c.rows[k][j] = math.Inf(1)
		}
	}
	c.road = []spot{p.roadSpot()}
	if p.Scene.Landing == LandingImpossible {
		c.slackM = p.Settings.CarryMaxM
	}
	for i := range c.from {
		c.from[i].unit = &b.shared.units[i]
	}
	c.meet = meetings{p: &p, units: b.shared.units, from: c.from, places: slices.Clone(b.shared.places),
		patients: map[patientKey]atPlace{}, others: map[otherKey]*approach{}}
	c.meets = &c.meet
	return c
}

// best is the first option for a scene. Its slow total is left out where only the
// typical one is wanted.
func (c *cell) best(ctx context.Context, scene orb.Point, typicalOnly bool) (Best, error) {
	c.reset(scene)
	if err := c.look(ctx); err != nil {
		return Best{}, err
	}
	if len(c.found) == 0 {
		return Best{}, nil
	}
	first := slices.MinFunc(c.found, func(a, b candidate) int { return a.compare(&b, typical) })
	if typicalOnly && !c.RankBySlow {
		first.total.SlowS = 0
		return c.say(&first), nil
	}
	c.slowTotal(&first)
	if !c.RankBySlow {
		return c.say(&first), nil
	}
	// Nothing with a typical total above this slow one can be better, as no slow
	// total is below its typical one.
	c.found, c.cuts, c.cutS = c.found[:0], false, first.total.SlowS
	if err := c.look(ctx); err != nil {
		return Best{}, err
	}
	rank(c.found, typical)
	best, err := c.bySlow(ctx, &c.search, 1)
	if err != nil {
		return Best{}, err
	}
	return c.say(&best[0]), nil
}

// slowTotal draws a candidate's slow total.
func (c *cell) slowTotal(y *candidate) {
	if c.w.of != y.way { // it is mostly what was built last
		c.build(&y.way, &c.w)
	}
	var ok bool
	if y.total.SlowS, ok = c.slow.ofWay(&y.way, &c.w, y.total.TypicalS); ok {
		return
	}
	c.totals(c.steps(&c.w), c.draw)
	y.total.SlowS = c.p90(c.draw, y.total.TypicalS)
}

// maxSaid bounds the words that are kept.
const maxSaid = 4096

// say is a candidate as an answer, in the words of an earlier one where it is the
// same way: answers share their strings.
func (c *cell) say(y *candidate) Best {
	if y.way != c.by {
		known, ok := c.said[y.way]
		if !ok {
			known = Best{Reached: true, ID: y.way.id(), Shape: y.way.shape, Destination: y.way.dest.ID, Assets: y.way.assets()}
			if len(c.said) >= maxSaid {
				clear(c.said)
			}
			c.said[y.way] = known
		}
		c.by, c.last = y.way, known
	}
	out := c.last
	out.Total = y.total
	return out
}

// reset begins a scene.
func (c *cell) reset(scene orb.Point) {
	p := c.problem
	p.Scene.Position, p.cutS = scene, math.Inf(1)
	clear(p.times)
	clear(p.trees)
	clear(c.have)
	for i := range c.from {
		c.from[i].timed = false // until it is worked out for this scene
	}
	c.found, c.cuts, c.open = c.found[:0], true, false
	c.meet.patientAt, c.meet.ground = scene, c.meet.ground[:0]
	clear(c.meet.others)
	c.road[0].at = scene
	at := geo.Unit(scene)
	c.f.bases.chords(at, c.baseM)
	c.f.doors.chords(at, c.doorM)
	c.f.pads.chords(at, c.padM)
	c.byBoard(at)
	n := len(c.f.to)
	for k := range c.f.laws {
		row := c.doorS[k*n : (k+1)*n]
		c.leastS[k] = math.Inf(1)
		for j, m := range c.doorM {
			row[j] = c.f.laws[k].S(max(0, m-floorM)) + c.f.to[j].handS
			c.leastS[k] = min(c.leastS[k], row[j])
		}
	}
	if p.Patient.Escort != "" { // whoever rides along is sought among all
		c.all()
	}
}

// byBoard is the least until each unit has the patient on board.
func (c *cell) byBoard(at geo.Vector) {
	c.away = c.Scene.Landing == LandingImpossible && !c.landsNear(at)
	for i := range c.f.units {
		u := &c.f.units[i]
		c.onS[i] = math.Inf(1)
		if !u.usable || u.law < 0 && c.away && !u.winch {
			continue
		}
		there := u.readyS
		if m := c.baseM[i] - c.slackM; u.law >= 0 {
			there += c.f.laws[u.law].S(max(0, c.baseM[i]-floorM))
		} else if m > beside+floorM {
			there += u.flyS(m) + u.firstS
		}
		c.onS[i] = max(there, u.patientS) + u.loadS
	}
}

// landsNear reports whether an aircraft could land so near that the patient can be
// carried there.
func (c *cell) landsNear(at geo.Vector) bool {
	c.f.sites.chords(at, c.siteM)
	for _, m := range c.siteM {
		if m <= c.Settings.CarryMaxM+floorM {
			return true
		}
	}
	return false
}

// limitS is what a bound may be at most for what it bounds to count still.
func (c *cell) limitS() float64 { return c.cutS / notLess }

// rideS is the least from the patient on board until handed over; +Inf: the unit
// cannot go there.
func (c *cell) rideS(i, j int) float64 {
	u := &c.f.units[i]
	if u.law >= 0 {
		return u.rideS + c.doorS[u.law*len(c.f.to)+j]
	}
	if !c.f.to[j].pad {
		return math.Inf(1)
	}
	return u.flyS(c.padM[j]-c.slackM) + u.rideS + c.f.to[j].byPadS
}

// look finds what could be the first option: vehicles that go alone, and then what
// needs more than one where that could be as soon.
func (c *cell) look(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	c.alone()
	c.together()
	return nil
}

// alone builds the units' own ways to the hospitals in the order of their bounds.
func (c *cell) alone() {
	c.order = c.order[:0]
	for i := range c.f.units {
		u := &c.f.units[i]
		if c.unitS[i] = math.Inf(1); !u.carries || math.IsInf(c.onS[i], 1) {
			continue
		}
		least := u.rideS
		if u.law >= 0 {
			least += c.leastS[u.law]
		}
		c.unitS[i] = c.onS[i] + least
		c.order = append(c.order, int32(i))
	}
	slices.SortFunc(c.order, func(a, b int32) int { return cmp.Compare(c.unitS[a], c.unitS[b]) })
	if c.cuts {
		if first, ok := c.soonest(); ok {
			c.try(&first)
		}
	}
	c.pairs = c.pairs[:0]
	limit := c.limitS()
	for _, i := range c.order {
		if c.unitS[i] > limit {
			break
		}
		for j := range c.f.to {
			if s := c.aloneS(int(i), j); s <= limit {
				c.pairs = append(c.pairs, leastPair{i, int32(j), s})
			}
		}
	}
	slices.SortFunc(c.pairs, func(a, b leastPair) int { return cmp.Compare(a.leastS, b.leastS) })
	for k := range c.pairs {
		if c.pairs[k].leastS > c.limitS() {
			break
		}
		c.try(&c.pairs[k])
	}
}

// aloneS is the least total of a unit alone; +Inf: it is ruled out.
func (c *cell) aloneS(i, j int) float64 {
	if t := &c.f.to[j]; t.ok {
		return max(c.onS[i]+c.rideS(i, j), t.readyS)
	}
	return math.Inf(1)
}

// soonest is the pair with the least bound.
func (c *cell) soonest() (leastPair, bool) {
	best := leastPair{leastS: math.Inf(1)}
	for _, i := range c.order {
		if c.unitS[i] >= best.leastS {
			break
		}
		for j := range c.f.to {
			if s := c.aloneS(int(i), j); s < best.leastS {
				best = leastPair{i, int32(j), s}
			}
		}
	}
	return best, !math.IsInf(best.leastS, 1)
}

// try builds a unit's own way to a hospital.
func (c *cell) try(x *leastPair) {
	a := c.approachOf(int(x.unit))
	if len(a.reasons) == 0 {
		c.search.alone(a, &c.to[x.dest])
	}
}

// approachOf is a unit's way to the scene, worked out when it is first asked for.
func (c *cell) approachOf(i int) *approach {
	a := &c.from[i]
	if c.have[i] {
		return a
	}
	c.have[i] = true
	u := a.unit
	spots, none := c.road, []Reason(nil)
	if u.Flies() {
		if !c.open {
			c.open, c.air, c.none = true, nil, nil
			if c.Scene.Landing != LandingImpossible {
				c.air = c.road // beside the patient
			} else if !c.away {
				c.air, c.none = c.airSpots()
			}
		}
		spots, none = c.spotsFor(u, c.road, c.air, c.none)
	}
	c.approach(a, u, spots, none)
	if len(spots) == 0 && len(a.reasons) == 0 {
		a.reasons = noSpot
	}
	return a
}

// all works every approach out.
func (c *cell) all() {
	for i := range c.from {
		c.approachOf(i)
	}
}

// noSpot is why an aircraft has no place to take the patient where nobody reads why.
var noSpot = []Reason{{Code: ReasonNoLanding, Detail: "nowhere to land"}}
