package weather

// Conditions is the weather that one part of a message gives. A nil pointer is an
// element that the part does not give or gives as missing: unknown in a report and
// at the start of a forecast, unchanged in a group of change.
type Conditions struct {
	Wind        *Wind
	Visibility  *Visibility // prevailing
	Directional []DirectionalVisibility
	RVR         []RunwayVisualRange

	Weather        []Phenomenon
	NoWeather      bool // said outright: NSW or CAVOK
	WeatherMissing bool // the station should report weather and did not: //

	Sky *Sky

	TemperatureC *float64
	DewPointC    *float64
	PressureHPa  *float64 // reduced to sea level (QNH, altimeter setting)

	Shear         []Shear
	Supplementary []string // state of runways and sea, recognised and kept as text
	Unread        []string // groups that could not be read
}

// givesWeather reports whether the part says anything about present weather.
func (c Conditions) givesWeather() bool {
	return len(c.Weather) > 0 || c.NoWeather || c.WeatherMissing
}

// LowestVisibility returns the lower of the prevailing visibility and that in any
// given direction. ok is false when neither is known; a directional value without
// a prevailing one is not enough, because the rest may be lower.
func (c Conditions) LowestVisibility() (v Visibility, ok bool) {
	if c.Visibility == nil {
		return Visibility{}, false
	}
	v = *c.Visibility
	for _, d := range c.Directional {
		if d.M < v.M {
			v = d.Visibility
		}
	}
	return v, true
}

// Over lays what a group of change gives over what held before it. Elements that
// the group omits carry over (FAA Aeronautical Information Manual, 7-1), unless a
// group in it could not be read: that may have been the element, so it is unknown.
func (c Conditions) Over(before Conditions) Conditions {
	if len(c.Unread) > 0 {
		before = Conditions{WeatherMissing: true, Unread: before.Unread}
	}
	after := before
	if c.Wind != nil {
		after.Wind = c.Wind
	}
	if c.Visibility != nil || len(c.Directional) > 0 {
		after.Visibility, after.Directional = c.Visibility, c.Directional
	}
	if c.givesWeather() {
		after.Weather, after.NoWeather, after.WeatherMissing = c.Weather, c.NoWeather, c.WeatherMissing
	}
	if c.Sky != nil {
		after.Sky = c.Sky
	}
	if c.TemperatureC != nil {
		after.TemperatureC, after.DewPointC = c.TemperatureC, c.DewPointC
	}
	if c.PressureHPa != nil {
		after.PressureHPa = c.PressureHPa
	}
	if len(c.Shear) > 0 {
		after.Shear = c.Shear
	}
	after.Unread = union(before.Unread, c.Unread)
	return after
}
