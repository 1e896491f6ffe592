package flight

import (
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/geo"
	"surgeonward/geo/weather"
	"surgeonward/geo/wind"
)

// Station is a place that reports the weather, with what it last said.
type Station struct {
	Code     string
	Position orb.Point
	Reports  []weather.Report
	Forecast *weather.Forecast // nil: none
}

// Given is weather stated outright, which holds everywhere and comes before
// any report. Nil is not stated.
type Given struct {
	Wind        *wind.Wind
	CeilingM    *float64
	VisibilityM *float64
}

// Weather is all that is known of the weather for one question.
type Weather struct {
	Given    Given
	Stations []Station
	Now      time.Time     // reports are as old as this less their time
	MaxAge   time.Duration // an older report is not used
	MaxM     float64       // a station farther away is not used
	Plain    bool          // Local.From is left out: nobody reads it
}

// Empty reports whether nothing at all was said about the weather.
func (w *Weather) Empty() bool {
	return len(w.Stations) == 0 && w.Given == Given{}
}

// Local is the weather at one place and time.
type Local struct {
	Sky           Sky
	Wind          *wind.Wind // nil: not known
	VariableWind  bool       // no steady direction: to be taken as a head wind
	Thunderstorm  bool
	Freezing      bool
	IcingPossible bool   // freezing is the stronger word
	From          string // where it comes from, in words
}

// At is the weather at a place and time: what was given, else the nearest
// station that has something to say about that time. A station's forecast for
// the time and its report are both taken, the worse of each element, because a
// report is the only thing known of now and a forecast of later.
func (w *Weather) At(p orb.Point, t time.Time) Local {
	nan := math.NaN()
	l := Local{Sky: Sky{CeilingM: nan, VisibilityM: nan}}
	if c, station, ok := w.nearest(p, t); ok {
		l = local(c)
		if !w.Plain {
			l.From = w.words(station, p)
		}
	}
	if w.Given.Wind != nil {
		l.Wind, l.VariableWind = w.Given.Wind, false
	}
	if w.Given.CeilingM != nil {
		l.Sky.CeilingM = *w.Given.CeilingM
	}
	if w.Given.VisibilityM != nil {
		l.Sky.VisibilityM, l.Sky.VisibilityUnderM = *w.Given.VisibilityM, 0
	}
	if l.From == "" && !w.Plain {
		l.From = "as given in the question"
	}
	return l
}

// nearest finds the closest station with something to say about the time.
func (w *Weather) nearest(p orb.Point, t time.Time) (said weather.Conditions, by *Station, ok bool) {
	bestM := math.Inf(1)
	for i := range w.Stations {
		s := &w.Stations[i]
		m := geo.Distance(p, s.Position)
		if m > w.MaxM || m > bestM || m == bestM && by != nil && s.Code > by.Code {
			continue
		}
		if c, says := s.at(t, w.Now, w.MaxAge); says {
			said, by, ok, bestM = c, s, true, m
		}
	}
	return said, by, ok
}

// at is what the station says of a time, the worse of report and forecast.
func (s *Station) at(t, now time.Time, maxAge time.Duration) (weather.Conditions, bool) {
	var all []weather.Conditions
	if r := s.Latest(now, maxAge); r != nil {
		all = append(all, r.Base)
		for _, c := range r.Trends {
			if !t.Before(c.From) && (c.To.IsZero() || t.Before(c.To)) {
				all = append(all, c.Conditions.Over(r.Base))
			}
		}
	}
	if s.Forecast != nil {
		if steady, sometimes, ok := s.Forecast.At(t); ok {
			all = append(append(all, steady), sometimes...)
		}
	}
	if len(all) == 0 {
		return weather.Conditions{}, false
	}
	return weather.Worst(all...), true
}

// Latest is the station's newest report that is not too old, nor from later
// than now.
func (s *Station) Latest(now time.Time, maxAge time.Duration) *weather.Report {
	var best *weather.Report
	for i := range s.Reports {
		r := &s.Reports[i]
		age := now.Sub(r.Issued)
		if r.Missing || age > maxAge || age < -maxAge {
			continue
		}
		if best == nil || r.Issued.After(best.Issued) {
			best = r
		}
	}
	return best
}

// words says where the weather comes from: station, distance and age.
func (w *Weather) words(s *Station, p orb.Point) string {
	text := fmt.Sprintf("%s, %.0f km away", s.Code, geo.Distance(p, s.Position)/1000)
	if r := s.Latest(w.Now, w.MaxAge); r != nil {
		text += fmt.Sprintf(", %.0f min old", math.Max(0, w.Now.Sub(r.Issued).Minutes()))
	}
	if s.Forecast != nil {
		text += ", with its forecast"
	}
	return text
}

func local(c weather.Conditions) Local {
	nan := math.NaN()
	l := Local{Sky: Sky{CeilingM: nan, VisibilityM: nan}}
	switch m, state := c.Ceiling(); state {
	case weather.CeilingKnown:
		l.Sky.CeilingM = m
	case weather.CeilingNone:
		l.Sky.CeilingM = m
	}
	if v, ok := c.LowestVisibility(); ok {
		l.Sky.VisibilityM = v.M
		if v.LessThan { // it may be anything below
			l.Sky.VisibilityM, l.Sky.VisibilityUnderM = nan, v.M
		}
	}
	if c.Wind != nil {
		steady := c.Wind.Wind
		l.Wind, l.VariableWind = &steady, c.Wind.Variable || c.Wind.DirectionMissing
	}
	l.Thunderstorm = c.Thunderstorm() || c.Cumulonimbus()
	l.Freezing = c.Freezing()
	l.IcingPossible, _ = c.Icing()
	return l
}

// MaxWindMS is the strongest wind anybody speaks of, gusts left out: no leg's
// tail wind is stronger.
func (w *Weather) MaxWindMS() float64 {
	strongest := 0.0
	if g := w.Given.Wind; g != nil {
		return g.SpeedMS // it holds everywhere, before any report
	}
	consider := func(c weather.Conditions) {
		if c.Wind != nil {
			strongest = math.Max(strongest, c.Wind.SpeedMS)
		}
	}
	for i := range w.Stations {
		s := &w.Stations[i]
		for _, r := range s.Reports {
			consider(r.Base)
			for _, c := range r.Trends {
				consider(c.Conditions)
			}
		}
		if s.Forecast != nil {
			consider(s.Forecast.Base)
			for _, c := range s.Forecast.Changes {
				consider(c.Conditions)
			}
		}
	}
	return strongest
}
