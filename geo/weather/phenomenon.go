package weather

import (
	"regexp"
	"slices"
)

// Phenomenon is one group of present, recent or forecast weather, such as +TSRA.
// Codes are those of WMO code table 4678.
type Phenomenon struct {
	Text       string // the group as printed
	Intensity  Intensity
	Vicinity   bool     // VC: not at the aerodrome but within about 8 to 16 km
	Recent     bool     // RE: in the hour before the report, not at its time
	Descriptor string   // MI BC PR DR BL SH TS FZ, or empty
	Codes      []string // RA, SN, FG, ...; empty for TS and SH on their own
}

// Intensity is the strength of precipitation, a squall or a storm.
type Intensity string

// The intensities. Phenomena that have none count as moderate.
const (
	Light    Intensity = "-"
	Moderate Intensity = ""
	Heavy    Intensity = "+"
)

var (
	precipitation = []string{"DZ", "RA", "SN", "SG", "IC", "PL", "GR", "GS", "UP"}
	weatherGroup  = regexp.MustCompile(`^(RE)?([+-]?)(VC)?(MI|BC|PR|DR|BL|SH|TS|FZ)?` +
		`((?:DZ|RA|SN|SG|IC|PL|GR|GS|UP|BR|FG|FU|VA|DU|SA|HZ|PY|PO|SQ|FC|SS|DS){0,4})$`)
)

// readWeather reads groups such as -SHRA, BCFG, VCTS, RETSRA. Two kinds of weather
// in a group must both be precipitation, which is how the codes are written; a
// descriptor on its own must be TS or SH.
func readWeather(group string) (Phenomenon, bool) {
	m := weatherGroup.FindStringSubmatch(group)
	if m == nil {
		return Phenomenon{}, false
	}
	p := Phenomenon{
		Text: group, Recent: m[1] != "", Intensity: Intensity(m[2]), Vicinity: m[3] != "", Descriptor: m[4],
	}
	for codes := m[5]; codes != ""; codes = codes[2:] {
		if slices.Contains(p.Codes, codes[:2]) {
			return Phenomenon{}, false
		}
		p.Codes = append(p.Codes, codes[:2])
	}
	switch len(p.Codes) {
	case 0:
		return p, p.Descriptor == "TS" || p.Descriptor == "SH"
	case 1:
		return p, true
	}
	for _, code := range p.Codes {
		if !slices.Contains(precipitation, code) {
			return Phenomenon{}, false
		}
	}
	return p, true
}
