package routing

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"surgeonward/geo"
	"surgeonward/geo/sun"
	"surgeonward/routing/flight"
)

// judge is everything about a flight but its time and its landing surface:
// night flying, weather minima and hazards, at both ends, each by the rules of
// its own instant. A mission that starts by day and lands by night lands by
// night rules. The lift-off of a flight that is under way is past judging.
func (p *problem) judge(l *leg, nd *node) (reasons []Reason, cautions []string) {
	a := l.asset
	ends := []end{
		{nd.from, l.leavesS, "lift-off"},
		{nd.to, l.arrivesS(nd.timing.TypicalS), "landing"},
	}
	if l.begun {
		ends = ends[1:]
	}
	for _, at := range ends {
		if a.NightFlying && p.weather.Empty() {
			continue // nothing depends on the night
		}
		night := sun.IsNight(at.at, p.after(at.s))
		if night && !a.NightFlying && !hasReason(reasons, ReasonNoNightFlying) {
			reasons = append(reasons, reason(ReasonNoNightFlying, "night at %s, %s, and the crew does not fly by night",
				at.name, clock(p.after(at.s), a.Zone)))
		}
		if p.weather.Empty() {
			continue
		}
		local := p.weather.At(at.at, p.after(at.s))
		why, beware := p.minima(a, night, at, local)
		reasons, cautions = append(reasons, why...), append(cautions, beware...)
		why, beware = p.hazards(a, at, local)
		reasons, cautions = append(reasons, why...), append(cautions, beware...)
	}
	return reasons, cautions
}

// end is one end of a flight.
type end struct {
	at   orb.Point
	s    float64 // seconds after the decision time
	name string
}

func (p *problem) minima(a *Asset, night bool, at end, l flight.Local) (reasons []Reason, cautions []string) {
	table, ok := flight.Find(p.Settings.Minima, a.Minima)
	if !ok {
		return nil, nil
	}
	v := table.Judge(night, a.Crew, l.Sky, p.Settings.NearMinima)
	sky := fmt.Sprintf("%s at %s (%s)", skyWords(l.Sky), at.name, l.From)
	when := "day"
	if night {
		when = "night"
	}
	switch {
	case v.None:
		return []Reason{reason(ReasonBelowMinima, "%s has no minima for this crew by %s", tableWords(table), when)}, nil
	case math.IsNaN(l.Sky.CeilingM) || math.IsNaN(l.Sky.VisibilityM):
		return []Reason{reason(ReasonWeatherUnknown, "%s: what is not known is never taken as clear; %s asks for %s", sky, tableWords(table), v.Row)}, nil
	case !v.Allowed:
		return []Reason{reason(ReasonBelowMinima, "%s; %s asks for %s", sky, tableWords(table), v.Row)}, nil
	case v.Near:
		return nil, []string{fmt.Sprintf("near minima: %s; %s asks for %s", sky, tableWords(table), v.Row)}
	}
	return nil, nil
}

func (p *problem) hazards(a *Asset, at end, l flight.Local) (reasons []Reason, cautions []string) {
	for _, h := range []struct {
		present bool
		rule    Hazard
		code    ReasonCode
		what    string
	}{
		{l.Thunderstorm, p.Settings.Thunderstorm, ReasonThunderstorm, "thunderstorm or cumulonimbus"},
		{l.Freezing && !a.IcingCleared, p.Settings.Freezing, ReasonIcing, "freezing precipitation or fog"},
		{l.IcingPossible && !l.Freezing && !a.IcingCleared, p.Settings.IcingPossible, ReasonIcing, "icing possible"},
	} {
		if !h.present {
			continue
		}
		text := fmt.Sprintf("%s at %s (%s)", h.what, at.name, l.From)
		switch h.rule {
		case Excludes:
			reasons = append(reasons, Reason{Code: h.code, Detail: text})
		case Cautions:
			cautions = append(cautions, text)
		}
	}
	return reasons, cautions
}

func tableWords(t flight.Table) string { return t.Regulation + " (" + t.Edition + ")" }

// skyWords writes ceiling and visibility the way they are spoken of.
func skyWords(s flight.Sky) string {
	ceiling, visibility := "ceiling not known", "visibility not known"
	if !math.IsNaN(s.CeilingM) {
		ceiling = fmt.Sprintf("ceiling %.0f ft", s.CeilingM/geo.Foot)
	}
	switch {
	case !math.IsNaN(s.VisibilityM):
		visibility = fmt.Sprintf("visibility %.0f m", s.VisibilityM)
	case s.VisibilityUnderM > 0:
		visibility = fmt.Sprintf("visibility under %.0f m", s.VisibilityUnderM)
	}
	return ceiling + ", " + visibility
}
