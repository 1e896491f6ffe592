package weather

import (
	"cmp"
	"slices"
)

// Worst returns conditions of which each element is the worst among cs, for a test
// against minima: they need not occur together.
//
//   - Wind: the strongest, with the highest mean and the highest gust.
//   - Visibility and runway visual range: the lowest; all runway values are kept.
//   - Weather, layers of cloud, shear: all that occur.
//   - Temperature and pressure: the lowest, with its own dew point.
//
// An element that is known in some and unknown in others is marked as a bound on
// what it may be: wind OrMore, visibility LessThan, a layer of unknown amount.
// Worst of nothing is all unknown.
func Worst(cs ...Conditions) Conditions {
	if len(cs) == 0 {
		return Conditions{}
	}
	worst := cs[0]
	for _, c := range cs[1:] {
		worst = worseOf(worst, c)
	}
	return worst
}

func worseOf(a, b Conditions) Conditions {
	w := Conditions{
		Wind:           worseWind(a.Wind, b.Wind),
		Visibility:     worseVisibility(a.Visibility, b.Visibility),
		Directional:    slices.Concat(a.Directional, b.Directional),
		RVR:            slices.Concat(a.RVR, b.RVR),
		Weather:        slices.Clone(a.Weather),
		NoWeather:      a.NoWeather && b.NoWeather,
		WeatherMissing: a.WeatherMissing || b.WeatherMissing,
		Sky:            worseSky(a, b),
		TemperatureC:   a.TemperatureC,
		DewPointC:      a.DewPointC,
		PressureHPa:    a.PressureHPa,
		Shear:          slices.Concat(a.Shear, b.Shear),
		Supplementary:  union(a.Supplementary, b.Supplementary),
		Unread:         union(a.Unread, b.Unread),
	}
	for _, p := range b.Weather {
		same := func(q Phenomenon) bool { return q.Text == p.Text }
		if !slices.ContainsFunc(w.Weather, same) {
			w.Weather = append(w.Weather, p)
		}
	}
	if lower(b.TemperatureC, a.TemperatureC) {
		w.TemperatureC, w.DewPointC = b.TemperatureC, b.DewPointC
	}
	if lower(b.PressureHPa, a.PressureHPa) {
		w.PressureHPa = b.PressureHPa
	}
	return w
}

// lower reports whether x is known and below y, or y is not known.
func lower(x, y *float64) bool { return x != nil && (y == nil || *x < *y) }

func worseWind(a, b *Wind) *Wind {
	if a == nil && b == nil {
		return nil
	}
	if a == nil || b == nil {
		w := *cmp.Or(a, b)
		w.SpeedOrMore = true
		return &w
	}
	w, other := *a, *b
	if other.PeakMS() > w.PeakMS() {
		w, other = other, w
	}
	if other.SpeedMS > w.SpeedMS {
		w.SpeedMS = other.SpeedMS
	}
	w.SpeedOrMore = w.SpeedOrMore || other.SpeedOrMore
	w.GustOrMore = w.GustOrMore || other.GustOrMore
	return &w
}

func worseVisibility(a, b *Visibility) *Visibility {
	if a == nil && b == nil {
		return nil
	}
	if a == nil || b == nil {
		v := *cmp.Or(a, b)
		v.OrMore, v.LessThan = false, true
		return &v
	}
	low, high := *a, *b
	if high.M < low.M || high.M == low.M && (high.LessThan || !high.OrMore) {
		low, high = high, low
	}
	// A bound that is higher may still hide a lower value.
	low.LessThan = low.LessThan || high.LessThan
	if low.LessThan {
		low.OrMore = false
	}
	return &low
}

// worseSky joins the layers: the lowest ceiling of either is then the lowest of
// both. Where one ceiling is unknown, for whatever reason, a layer of unknown amount
// keeps that in mind.
func worseSky(a, b Conditions) *Sky {
	if a.Sky == nil && b.Sky == nil {
		return nil
	}
	joined := &Sky{}
	add := func(l Layer) {
		if !slices.Contains(joined.Layers, l) {
			joined.Layers = append(joined.Layers, l)
		}
	}
	for _, c := range []Conditions{a, b} {
		if c.Sky != nil {
			joined.Clear = cmp.Or(joined.Clear, c.Sky.Clear)
			for _, l := range c.Sky.Layers {
				add(l)
			}
		}
		if _, state := c.Ceiling(); state == CeilingUnknown {
			add(Layer{})
		}
	}
	if len(joined.Layers) > 0 {
		joined.Clear = ""
	}
	return joined
}
