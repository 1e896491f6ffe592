package weather

import "slices"

// Has reports whether a phenomenon with the given two-letter code or descriptor,
// such as FG or TS, is present at the aerodrome or in its vicinity. Recent weather
// is left out.
func (c Conditions) Has(code string) bool {
	return slices.ContainsFunc(c.Weather, func(p Phenomenon) bool { return !p.Recent && p.is(code) })
}

func (p Phenomenon) is(code string) bool {
	return p.Descriptor == code || slices.Contains(p.Codes, code)
}

// Thunderstorm reports a thunderstorm in any group: at the aerodrome, in its
// vicinity, or over but recent. Cloud is not looked at; see Cumulonimbus.
func (c Conditions) Thunderstorm() bool {
	return slices.ContainsFunc(c.Weather, func(p Phenomenon) bool { return p.is("TS") })
}

// Cumulonimbus reports CB in the cloud, which has thunder, hail, icing and shear in
// it even when no thunderstorm is reported.
func (c Conditions) Cumulonimbus() bool { return c.hasCloud(Cumulonimbus) }

// ToweringCumulus reports TCU in the cloud, which may grow into CB.
func (c Conditions) ToweringCumulus() bool { return c.hasCloud(ToweringCumulus) }

func (c Conditions) hasCloud(t CloudType) bool {
	return c.Sky != nil && slices.ContainsFunc(c.Sky.Layers, func(l Layer) bool { return l.Type == t })
}

// Freezing reports freezing rain, drizzle, fog or unknown precipitation (FZRA,
// FZDZ, FZFG, FZUP), present or recent: ice forms on everything it touches.
func (c Conditions) Freezing() bool {
	return slices.ContainsFunc(c.Weather, func(p Phenomenon) bool { return p.is("FZ") })
}

// icingBelowC is the temperature at the aerodrome at which it is freezing 460 m
// (1500 ft) above it in the standard atmosphere, 6.5 degrees per kilometre (ISO
// 2533). The height is an assumption: about where a helicopter flies under cloud.
const icingBelowC = 3.0

// Icing reports whether ice may form on an aircraft in low flight: freezing
// precipitation or fog, ice pellets (which fell through a freezing layer), or
// moisture that one can see (precipitation, fog, mist, or a broken or overcast
// layer) with 3 degrees Celsius or less at the aerodrome.
//
// known is false when it cannot be told: no temperature, as in nearly all
// forecasts, or weather or cloud missing or unread. It says nothing of cloud above
// the lowest 500 m on a warm day, where ice forms too.
func (c Conditions) Icing() (possible, known bool) {
	if c.Freezing() || c.Has("PL") {
		return true, true
	}
	if c.TemperatureC == nil {
		return false, false
	}
	if *c.TemperatureC > icingBelowC {
		return false, len(c.Unread) == 0 && !c.WeatherMissing
	}
	wet := slices.ContainsFunc([]string{"DZ", "RA", "SN", "SG", "IC", "GR", "GS", "UP", "FG", "BR", "SH"}, c.Has)
	_, ceiling := c.Ceiling()
	if wet || ceiling == CeilingKnown {
		return true, true
	}
	return false, ceiling == CeilingNone && !c.WeatherMissing
}
