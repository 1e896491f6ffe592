package wire

import (
	"math"

	"surgeonward/geo"
	"surgeonward/geo/wind"
	"surgeonward/routing"
)

// Weather is what one station of the question's reports says for the decision
// time. Null is not known, which is never good enough to fly in.
type Weather struct {
	Station          string `json:"station"`
	SceneDistanceM   int64  `json:"scene_distance_m"`
	AgeS             *int64 `json:"age_s"` // of the report used; null: there is none that is recent enough
	CeilingFt        *int64 `json:"ceiling_ft"`
	VisibilityM      *int64 `json:"visibility_m"`
	VisibilityUnderM *int64 `json:"visibility_under_m,omitempty"` // all that is known where visibility_m is null
	Wind             *Wind  `json:"wind"`
	Forecast         bool   `json:"forecast"`
}

// Wind is where the wind comes from and how fast it blows.
type Wind struct {
	FromDeg *int64 `json:"from_deg"` // null: from no single direction
	SpeedKt int64  `json:"speed_kt"`
	GustKt  int64  `json:"gust_kt,omitempty"`
}

func (n *rounder) weather(stations []routing.StationWeather) []Weather {
	out := make([]Weather, len(stations))
	for i, s := range stations {
		out[i] = Weather{
			Station: s.Code, SceneDistanceM: n.whole(s.SceneM), Forecast: s.Forecast,
			CeilingFt: n.known(s.Sky.CeilingM / geo.Foot), VisibilityM: n.known(s.Sky.VisibilityM), Wind: n.wind(s.Wind, s.Variable),
		}
		if s.Age >= 0 {
			out[i].AgeS = n.known(s.Age.Seconds())
		}
		if under := s.Sky.VisibilityUnderM; out[i].VisibilityM == nil && under > 0 {
			out[i].VisibilityUnderM = n.known(under)
		}
	}
	return out
}

// known is a whole number rounded down; nil for one that is not known. An
// infinite ceiling, which no report can prove, counts as not known.
func (n *rounder) known(x float64) *int64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	whole := n.down(x)
	return &whole
}

// wind gives no direction where there is none.
func (n *rounder) wind(w *wind.Wind, variable bool) *Wind {
	if w == nil {
		return nil
	}
	out := &Wind{SpeedKt: n.whole(w.SpeedMS / geo.Knot), GustKt: n.whole(w.GustMS / geo.Knot)}
	if !variable {
		from := n.whole(w.FromDeg)
		out.FromDeg = &from
	}
	return out
}
