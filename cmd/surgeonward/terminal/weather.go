package terminal

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"surgeonward/geo"
	"surgeonward/geo/wind"
	"surgeonward/routing"
)

// weatherRow is a station in a table, for a screen of minTable columns or more:
// the widest wind, a variable one of three digits with gusts and a forecast,
// just fits.
const (
	weatherRow = "%-8s %7s %8s %12s %10s  %s"
	minTable   = 80
)

// weather says what is known of the weather: what the question states, then
// what each station says, the nearest to the scene first.
func (v *view) weather() {
	g := v.page.Given
	var given []string
	if g.CeilingM != nil {
		given = append(given, "ceiling "+ceiling(*g.CeilingM))
	}
	if g.VisibilityM != nil {
		given = append(given, "visibility "+visibility(*g.VisibilityM, 0))
	}
	if g.Wind != nil {
		given = append(given, "wind "+windWords(g.Wind, false))
	}
	if len(given) > 0 {
		v.paragraph("Weather ", "as given in the question, everywhere: "+strings.Join(given, ", ")+".")
	}
	stations := slices.Clone(v.page.Answer.Weather)
	slices.SortStableFunc(stations, func(a, b routing.StationWeather) int { return cmp.Compare(a.SceneM, b.SceneM) })
	table := v.columns >= minTable
	if table && len(stations) > 0 {
		v.line(fmt.Sprintf(weatherRow, "Weather", "away", "age", "ceiling", "visibility", "wind"))
	}
	for i := range stations {
		s := &stations[i]
		code, away, old := v.style.text(s.Code), fmt.Sprintf("%.0f km", s.SceneM/1000), age(s)
		ceiling, visibility, wind := ceiling(s.Sky.CeilingM), visibility(s.Sky.VisibilityM, s.Sky.VisibilityUnderM), windWords(s.Wind, s.Variable)
		if s.Forecast {
			wind += ", forecast"
		}
		if table {
			v.line(fmt.Sprintf(weatherRow, pad(fit(code, 8), 8), away, old, ceiling, visibility, wind))
			continue
		}
		if s.Age >= 0 {
			old = "age " + old
		}
		v.paragraph("Weather ", fmt.Sprintf("%s, %s away, %s: ceiling %s, visibility %s, wind %s.", code, away, old, ceiling, visibility, wind))
	}
}

func age(s *routing.StationWeather) string {
	if s.Age < 0 {
		return "no news" // nothing recent enough
	}
	return fmt.Sprintf("%.0f min", s.Age.Minutes())
}

// provenM is the height up to which every report tells of a ceiling: one that
// tells of none says no more than that there is none below it.
const provenM = 1500

func ceiling(m float64) string {
	switch {
	case math.IsNaN(m):
		return "not known"
	case m == provenM, math.IsInf(m, 1):
		return "over 4900 ft"
	}
	return fmt.Sprintf("%.0f ft", m/geo.Foot)
}

// farM is the visibility at which reports stop counting.
const farM = 10_000

func visibility(m, underM float64) string {
	switch {
	case m >= farM:
		return "10 km+"
	case !math.IsNaN(m):
		return fmt.Sprintf("%.0f m", m)
	case underM > 0:
		return fmt.Sprintf("<%.0f m", underM)
	}
	return "not known"
}

// windWords writes a wind the way it is spoken of.
func windWords(w *wind.Wind, variable bool) string {
	if w == nil {
		return "not known"
	}
	knots := math.Round(w.SpeedMS / geo.Knot)
	if knots == 0 && w.GustMS == 0 {
		return "calm"
	}
	from := fmt.Sprintf("%03.0f", w.FromDeg)
	if variable {
		from = "variable"
	}
	text := fmt.Sprintf("%s/%.0f kt", from, knots)
	if w.GustMS > 0 {
		text = fmt.Sprintf("%s/%.0fG%.0f kt", from, knots, w.GustMS/geo.Knot)
	}
	return text
}
