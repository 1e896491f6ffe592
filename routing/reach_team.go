package routing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities"
	"surgeonward/geo/sun"
	"surgeonward/routing/road"
)

// team puts one asset's way to the patient on the clock.
func (p *problem) team(u *unit, r *Reach, d *openings) ReachTeam {
	t := ReachTeam{Asset: u.ID, Name: u.Name, Kind: u.Kind, Skills: slices.Clone(u.Skills)}
	a := p.toPatient(u)
	opens, from := p.allowance(u.Asset, r.OpenChest.ID)
	if t.Reasons = distinct(slices.Clone(a.reasons)); len(t.Reasons) == 0 && a.total().SlowS+opens.SlowS > facilities.MaxTiming {
		t.Reasons = []Reason{reason(ReasonTooLong, "would take more than %s", minutes(facilities.MaxTiming))}
	}
	if !t.Can() {
		t.Sentence = u.Name + " cannot come: " + details(t.Reasons) + "."
		return t
	}
	w := &network{keep: true}
	last := a.add(w, "")
	able := u.HasSkill(r.Skill)
	if able {
		w.add(node{id: "open_chest", kind: KindTeam, lane: LaneVehicle, asset: u.Asset, cause: cause{"open_chest", u.ID},
			timing: opens, basis: from}, last)
	}
	d.draw(w)
	t.Arrives = d.when(w, last)
	t.WithPatient, t.WithPatientSlow = p.after(t.Arrives.TypicalS), p.after(t.Arrives.SlowS)
	there := fmt.Sprintf("%s%s is with the patient at %s, %s if slow", u.Name, skillWords(u.Skills),
		timeOfDay(t.WithPatient, p.Settings.Zone), timeOfDay(t.WithPatientSlow, p.Settings.Zone))
	if able {
		t.Opens = d.when(w, ref(w.n-1))
		p.opens(&t, r, d)
		t.Sentence = fmt.Sprintf("%s; chest open at %s, %s if slow: %s, %s if slow, chance to be in time %s.", there,
			timeOfDay(t.Open, p.Settings.Zone), timeOfDay(t.OpenSlow, p.Settings.Zone),
			marginWords(t.MarginS, r.Window), marginWords(t.MarginSlowS, r.Window), Percent(t.Chance))
	} else {
		t.Sentence = there + ", and cannot open the chest."
	}
	t.Plan = w.plan()
	t.Cautions = slices.Compact(append(w.cautions, p.toPatientCautions(&a)...))
	return t
}

// opens compares the opening with the window, both counted from loss of output.
func (p *problem) opens(t *ReachTeam, r *Reach, d *openings) {
	t.Open, t.OpenSlow = p.after(t.Opens.TypicalS), p.after(t.Opens.SlowS)
	gone := p.At.Sub(r.OutputLostAt).Seconds()
	t.MarginS, t.MarginSlowS = r.Window.Margin(gone+t.Opens.TypicalS), r.Window.Margin(gone+t.Opens.SlowS)
	t.InWindow, t.InWindowIfSlow = r.Window.Inside(t.MarginS), r.Window.Inside(t.MarginSlowS)
	t.Chance = d.within(r.Window, gone)
}

// toPatient is the asset's quickest way until its crew is with the patient,
// with the reasons against it where it has none. It differs from the way to
// pick the patient up, for which the carry counts and not the walk. A crew is
// taken to step out as soon as its vehicle stands.
//
// With the patient on board a vehicle its crew is with them; to another that is
// under way with them nobody comes.
func (p *problem) toPatient(u *unit) approach {
	if u.aboard {
		return approach{unit: u, reasons: u.reason, timed: true}
	}
	a := p.toScene(u)
	if p.underWay() {
		a.reasons = append(a.reasons, p.onBoard(p.aboard()))
	}
	return a
}

// underWay reports whether the patient has left the scene on board a vehicle.
func (p *problem) underWay() bool {
	by := p.aboard()
	if by == "" {
		return false
	}
	moving := func(s StateChange) bool { return s.Asset == by && s.State == Moving }
	return p.at(by) != PatientLoaded || slices.ContainsFunc(p.Assets.States, moving)
}

func (p *problem) toScene(u *unit) approach {
	spots, none := []spot{p.roadSpot()}, []Reason(nil)
	switch {
	case u.Kind == Aeroplane:
		spots, none = nil, []Reason{reason(ReasonNoLanding, "an aeroplane brings a team to airfields only")}
	case u.Flies() && u.State != AtScene:
		spots, none = p.airSpots()
		if p.Scene.Winch && u.HasSkill("winch") {
			spots = append(slices.Clone(spots), p.winchSpot(u.Asset))
		}
	}
	if len(spots) == 0 {
		return approach{unit: u, reasons: slices.Concat(u.reason, none)}
	}
	var tries []approach
	for _, s := range spots {
		tries = append(tries, p.onFoot(p.fuelled(p.approachTo(u, s, nil))))
	}
	return quickestTry(tries)
}

func quickestTry(tries []approach) approach {
	return slices.MinFunc(tries, func(a, b approach) int {
		return cmp.Or(cmp.Compare(min(len(a.reasons), 1), min(len(b.reasons), 1)),
			cmp.Compare(a.arrives, b.arrives), cmp.Compare(a.spot.name, b.spot.name))
	})
}

// onFoot adds the way from the vehicle to the patient.
func (p *problem) onFoot(a approach) approach {
	if !a.timed || a.State == AtScene {
		return a
	}
	// The ground is the same for all who walk over it, a pad's for all who use it.
	nd := node{id: "walk_to_patient", kind: KindTeam, lane: LaneVehicle, asset: a.Asset, cause: a.spot.carry.why()}
	switch {
	case a.spot.winch:
		nd.timing, nd.basis = p.allowance(a.Asset, "winch_lower")
	case p.Scene.Facility != "" && a.Flies():
		nd.timing, nd.basis = a.spot.carry.timing, a.spot.carry.basis // between pad and door, the same in both directions
	default:
		nd.timing, nd.basis = p.walk(a.spot.carry.metres)
		nd.metres = a.spot.carry.metres
	}
	if nd.timing.SlowS > 0 {
		a.chain = append(a.chain, nd)
		a.arrives += nd.timing.TypicalS
	}
	return a
}

// walk is the reverse of the carry: its distance at the team's speed, and a
// carry that is stated as a time shortened in the proportion of the speeds.
func (p *problem) walk(metres float64) (facilities.Timing, basis) {
	speed := p.Settings.parameters["team_walk_kmh"].Value * road.KilometrePerHour
	t := facilities.Fixed(metres / speed)
	text := fmt.Sprintf("%.0f m on foot at %.1f m/s", metres, speed)
	if c := p.Scene.Carry; c != nil {
		share := math.Min(1, p.Settings.CarryMS/speed) // nobody walks slower than they carry
		t = t.Add(facilities.Timing{TypicalS: c.TypicalS * share, SlowS: c.SlowS * share})
		text += fmt.Sprintf(", and the carry given in the question, %.2f of it on foot", share)
	}
	return t, basis{text: text}
}

// fuelled checks that the fuel lasts to the scene, on to the next fuel and for
// the reserve, and looks for a stop on the way where it does not.
func (p *problem) fuelled(a approach) approach {
	if !a.Flies() || !a.timed || len(a.reasons) > 0 || a.State == AtScene {
		return a
	}
	a.reasons = p.fuelReasons(&a)
	if len(a.reasons) == 0 {
		return a
	}
	tries := []approach{a}
	for _, f := range p.Facilities.All() {
		if !f.HasFuel() {
			continue
		}
		stop := fuelPlace(f)
		via := p.approachTo(a.unit, a.spot, &stop)
		if via.timed && len(via.reasons) == 0 {
			via.reasons = p.fuelReasons(&via)
			tries = append(tries, via)
		}
	}
	return quickestTry(tries)
}

func (p *problem) fuelReasons(a *approach) []Reason {
	w := &network{keep: true}
	a.add(w, "")
	w.cautions = nil // the approach has its own already
	why := p.endurance(a, w)
	a.cautions = append(a.cautions, w.cautions...)
	return why
}

func (p *problem) toPatientCautions(a *approach) (out []string) {
	if a.Flies() && !a.spot.prepared && !a.spot.winch && a.State != AtScene {
		if p.Scene.Landing == LandingUnknown {
			out = append(out, "landing at the scene is not confirmed")
		}
		if sun.IsNight(a.spot.at, p.after(a.arrives)) {
			out = append(out, "landing at an unprepared scene by night")
		}
	}
	return out
}

// total is how long the approach takes, with every step slow at once: a bound.
func (a *approach) total() (t facilities.Timing) {
	for i := range a.chain {
		t = t.Add(a.chain[i].timing)
	}
	return t
}

func details(reasons []Reason) string {
	var all []string
	for _, r := range reasons {
		all = append(all, r.Detail)
	}
	return strings.Join(all, "; ")
}

func skillWords(skills []string) string {
	if len(skills) == 0 {
		return ""
	}
	return " (" + plain(strings.Join(skills, ", ")) + ")"
}

// marginWords says how much of the window is left, never better than it is.
func marginWords(marginS float64, w Window) string {
	switch {
	case marginS > 0:
		return spanDown(marginS) + " inside the window"
	case marginS < 0:
		return spanUp(-marginS) + " too late"
	case w.Inside(0):
		return "at the window's very end"
	}
	return "at the window's limit, which is too late"
}

// spanDown writes seconds as minutes and whole seconds, rounded down.
func spanDown(s float64) string { return span(math.Floor(s)) }

// spanUp is the same rounded up.
func spanUp(s float64) string { return span(math.Ceil(s)) }

func span(s float64) string {
	whole, rest := int(s)/60, int(s)%60
	switch {
	case whole == 0:
		return fmt.Sprintf("%d s", rest)
	case rest == 0:
		return fmt.Sprintf("%d min", whole)
	}
	return fmt.Sprintf("%d min %d s", whole, rest)
}

// timeOfDay writes the time of day in the zone, seconds rounded up: a window is
// counted in minutes, and nothing is shown sooner than it is.
func timeOfDay(t time.Time, zone *time.Location) string {
	return upToSecond(t).In(zone).Format("15:04:05")
}

// upToSecond rounds up to the second; what is under half a millisecond is
// floating-point residue.
func upToSecond(t time.Time) time.Time {
	t = t.Round(time.Second / marginStepsPerS)
	if whole := t.Truncate(time.Second); whole.Before(t) {
		t = whole.Add(time.Second)
	}
	return t
}
