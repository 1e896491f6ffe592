package weather

import (
	"strings"
	"time"
)

// Parse reads a message of either kind and returns one of report and forecast. It
// goes by the first word, and without one by whether a period of validity stands
// near the beginning.
func Parse(text string, ref time.Time) (*Report, *Forecast, error) {
	if isForecast(text) {
		f, err := ParseForecast(text, ref)
		if err != nil {
			return nil, nil, err
		}
		return nil, &f, nil
	}
	r, err := ParseReport(text, ref)
	if err != nil {
		return nil, nil, err
	}
	return &r, nil, nil
}

func isForecast(text string) bool {
	if len(text) > MaxLength {
		return false // either reader refuses it
	}
	groups := strings.Fields(strings.ToUpper(text))
	for i, group := range groups {
		switch {
		case i == 0 && group == "TAF":
			return true
		case i == 0 && (group == "METAR" || group == "SPECI"):
			return false
		case i < 4 && periodGroup.MatchString(group):
			return true
		}
	}
	return false
}
