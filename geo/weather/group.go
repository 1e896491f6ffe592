package weather

import (
	"regexp"
)

var (
	temperatureGroup = regexp.MustCompile(`^(M?\d{2}|//)/(M?\d{2}|//|)$`)
	pressureGroup    = regexp.MustCompile(`^([QA])(\d{4}|////)$`)
	// The state of runways (older and newer forms), an aerodrome closed by snow,
	// and the state of the sea.
	supplementaryGroup = regexp.MustCompile(`^R\d{2}[LCR]?/([0-9/]{6}|CLRD(\d{2}|//)?)$|^(R/)?SNOCLO$|^R\d{2}[LCR]?/SNOCLO$|` +
		`^W(M?\d{2}|//)/(S[0-9/]|H(\d{1,3}|///))$`)
	missingVisibility = regexp.MustCompile(`^////(SM)?$`)
)

// hectopascalsPerInch of mercury at 0 degrees Celsius.
const hectopascalsPerInch = 33.8639

// readConditions reads the groups of one part of a message. What it cannot read,
// and what repeats an element, it lists in Unread.
func readConditions(groups []string) Conditions {
	var c Conditions
	for len(groups) > 0 {
		used := c.read(groups)
		if used == 0 {
			c.Unread = append(c.Unread, groups[0])
			used = 1
		}
		groups = groups[used:]
	}
	return c
}

// read takes the next element and returns how many groups it used.
func (c *Conditions) read(groups []string) int {
	group := groups[0]
	switch group {
	case "CAVOK":
		return c.setCAVOK()
	case "NSW":
		c.NoWeather = true
		return 1
	case "//":
		c.WeatherMissing = true
		return 1
	}
	for _, take := range []func([]string) int{
		c.takeWind, c.takeVisibility, c.takeRVR, c.takeSky, c.takeTemperature, c.takePressure, c.takeShear,
	} {
		if used := take(groups); used > 0 {
			return used
		}
	}
	if supplementaryGroup.MatchString(group) {
		c.Supplementary = append(c.Supplementary, group)
		return 1
	}
	if p, ok := readWeather(group); ok {
		c.Weather = append(c.Weather, p)
		return 1
	}
	return 0
}

func (c *Conditions) setCAVOK() int {
	if c.Visibility != nil || c.Sky != nil {
		return 0
	}
	v := atLeastTenKm
	c.Visibility, c.Sky, c.NoWeather = &v, &Sky{Clear: CAVOK}, true
	return 1
}

func (c *Conditions) takeWind(groups []string) int {
	if w, known, ok := readWind(groups[0]); ok && c.Wind == nil {
		if known {
			c.Wind = &w
		}
		return 1
	}
	if s, ok := readSector(groups[0]); ok && c.Wind != nil && c.Wind.Sector == nil {
		c.Wind.Sector = &s
		return 1
	}
	return 0
}

func (c *Conditions) takeVisibility(groups []string) int {
	if missingVisibility.MatchString(groups[0]) && c.Visibility == nil {
		return 1
	}
	if v, direction, ok := readMetres(groups[0]); ok {
		switch {
		case direction != "":
			c.Directional = append(c.Directional, DirectionalVisibility{v, compassDirection[direction]})
			return 1
		case c.Visibility == nil:
			c.Visibility = &v
			return 1
		}
	}
	if v, used := readMiles(groups); used > 0 && c.Visibility == nil {
		c.Visibility = &v
		return used
	}
	return 0
}

func (c *Conditions) takeRVR(groups []string) int {
	r, ok := readRVR(groups[0])
	if !ok {
		return 0
	}
	c.RVR = append(c.RVR, r)
	return 1
}

// takeSky lets a layer overrule a code for clear sky, never the other way round.
func (c *Conditions) takeSky(groups []string) int {
	if l, ok := readLayer(groups[0]); ok {
		if c.Sky == nil || c.Sky.Clear != "" {
			c.Sky = &Sky{}
		}
		c.Sky.Layers = append(c.Sky.Layers, l)
		return 1
	}
	if clearGroup.MatchString(groups[0]) && c.Sky == nil {
		c.Sky = &Sky{Clear: ClearCode(groups[0])}
		return 1
	}
	return 0
}

func (c *Conditions) takeTemperature(groups []string) int {
	m := temperatureGroup.FindStringSubmatch(groups[0])
	if m == nil || c.TemperatureC != nil || c.DewPointC != nil {
		return 0
	}
	c.TemperatureC, c.DewPointC = celsius(m[1]), celsius(m[2])
	return 1
}

// celsius reads 17 and M03; it returns nil for // and nothing.
func celsius(s string) *float64 {
	if s == "" || s == "//" {
		return nil
	}
	var t float64
	if s[0] == 'M' {
		t = -number(s[1:]) + 0 // M00 is 0, not -0
	} else {
		t = number(s)
	}
	return &t
}

// takePressure accepts 850 to 1100 hPa. Some stations give both units; the first
// stands.
func (c *Conditions) takePressure(groups []string) int {
	m := pressureGroup.FindStringSubmatch(groups[0])
	if m == nil {
		return 0
	}
	if m[2] == "////" {
		return 1
	}
	hPa := number(m[2])
	if m[1] == "A" {
		hPa *= hectopascalsPerInch / 100
	}
	if hPa < 850 || hPa > 1100 {
		return 0
	}
	if c.PressureHPa == nil {
		c.PressureHPa = &hPa
	}
	return 1
}

func (c *Conditions) takeShear(groups []string) int {
	s, used := readShear(groups)
	if used > 0 {
		c.Shear = append(c.Shear, s)
	}
	return used
}
