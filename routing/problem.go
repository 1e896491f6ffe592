package routing

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
	"surgeonward/geo/weather"
	"surgeonward/routing/flight"
)

// problem is one question put to one region: what every step of the answer
// works from.
type problem struct {
	*Engine
	Question
	weather *flight.Weather
	wants   []string // capabilities the destination must have, see needs
	drives  map[driveKey]trip
	times   map[driveKey]driven // the same in brief
	trees   map[treeKey]rooted
	fast    *fastest                       // nil until it is asked for
	shared  *prepared                      // nil: the question is not of a batch
	fuelS   map[fuelKey]float64            // what is known of the way to the next fuel; nil: it is not kept
	pads    map[*facilities.Facility]place // the hospitals' pads, where they are asked for often
	brief   bool                           // only the first option's total is wanted: no words
	cutS    float64                        // a total that is known already, where later ones are not wanted; +Inf: all are
}

// after is the instant some seconds after the decision time.
func (p *problem) after(s float64) time.Time { return p.At.Add(seconds(s)) }

// seconds converts to a Duration; s is within MaxTiming, so it cannot overflow.
func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// readWeather turns the question's reports into what stations say. Faults are
// reports that cannot be used at all; cautions are the groups that could not
// be read, which are never guessed.
func (e *Engine) readWeather(q *Question) (w *flight.Weather, faults []strictjson.Fault, cautions []string) {
	s := e.Settings
	w = &flight.Weather{Given: q.Conditions.Given, Now: q.At, MaxAge: s.ReportMaxAge, MaxM: s.StationMaxM}
	byCode := map[string]int{}
	for i, text := range q.Conditions.Reports {
		fault := func(format string, args ...any) {
			faults = append(faults, strictjson.Fault{
				Pointer: fmt.Sprintf("/conditions/reports/%d", i), Detail: fmt.Sprintf(format, args...)})
		}
		report, forecast, err := weather.Parse(text, q.At)
		if err != nil {
			fault("%s", err)
			continue
		}
		code, unread := station(report, forecast)
		at, known := s.station(code)
		if !known {
			fault("no position is known for the station %q: add it to the settings' weather_stations", code)
			continue
		}
		n, seen := byCode[code]
		if !seen {
			n = len(w.Stations)
			byCode[code] = n
			w.Stations = append(w.Stations, flight.Station{Code: code, Position: at.Position})
		}
		if report != nil {
			w.Stations[n].Reports = append(w.Stations[n].Reports, *report)
		} else if old := w.Stations[n].Forecast; old == nil || forecast.Issued.After(old.Issued) {
			w.Stations[n].Forecast = forecast
		}
		for _, group := range unread {
			cautions = append(cautions, fmt.Sprintf("weather of %s: the group %q could not be read and counts as unknown", code, group))
		}
	}
	return w, faults, cautions
}

func station(r *weather.Report, f *weather.Forecast) (code string, unread []string) {
	if r != nil {
		return r.Station, r.Unread
	}
	return f.Station, f.Unread
}

// stationWeather is what each station of the question says now, by code.
func (p *problem) stationWeather() (out []StationWeather) {
	for i := range p.weather.Stations {
		s := &p.weather.Stations[i]
		only := flight.Weather{Stations: p.weather.Stations[i : i+1], Now: p.At, MaxAge: p.weather.MaxAge, MaxM: math.Inf(1)}
		l := only.At(s.Position, p.At)
		sw := StationWeather{Code: s.Code, SceneM: geo.Distance(p.Scene.Position, s.Position), Age: -1,
			Sky: l.Sky, Wind: l.Wind, Variable: l.VariableWind, Forecast: s.Forecast != nil}
		if r := s.Latest(p.At, p.weather.MaxAge); r != nil {
			sw.Age = max(0, p.At.Sub(r.Issued))
		}
		out = append(out, sw)
	}
	slices.SortFunc(out, func(a, b StationWeather) int { return strings.Compare(a.Code, b.Code) })
	return out
}
