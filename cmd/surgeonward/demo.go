package main

import (
	"errors"
	"io/fs"
	"strings"
	"time"

	"surgeonward/geo/weather"
	"surgeonward/testdata"
)

// readDemoWeather adds the reports of the demonstration region's weather that
// belong to the decision time.
func (f *weatherFlags) readDemoWeather(at any) error {
	if f.Weather == "" {
		return nil
	}
	data, err := demoFile(testdata.Demo, "weather", f.Weather, ".txt", "weather")
	if err != nil {
		return err
	}
	text, _ := at.(string)
	decision, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return usageError{errors.New("--weather: give the decision time with --at, such as that of a scenario")}
	}
	current := near(reportLines(string(data), "--weather "+f.Weather), decision)
	if len(current) == 0 {
		return usageError{errors.New("--weather: no report of " + f.Weather + " is within a day of the decision time: use that of a scenario")}
	}
	f.reports = append(f.reports, current...)
	return nil
}

// aDay is how far from the decision time a report of the demonstration region
// may be to belong to it: the files hold the weather of several days.
const aDay = 24 * time.Hour

// near are the reports issued within a day of a time. What cannot be read is
// kept, so that it is reported and not dropped in silence.
func near(lines []reportLine, at time.Time) (out []reportLine) {
	for _, l := range lines {
		report, forecast, err := weather.Parse(l.text, at)
		issued := at
		switch {
		case err != nil:
		case report != nil:
			issued = report.Issued
		default:
			issued = forecast.Issued
		}
		if issued.Sub(at).Abs() <= aDay {
			out = append(out, l)
		}
	}
	return out
}

// demoFile reads one of the named files of an embedded folder.
func demoFile(files fs.FS, folder, name, ending, what string) ([]byte, error) {
	files, err := fs.Sub(files, folder)
	if err != nil {
		return nil, err
	}
	data, err := fs.ReadFile(files, name+ending)
	if err == nil {
		return data, nil
	}
	entries, err := fs.ReadDir(files, ".")
	if err != nil {
		return nil, err
	}
	var names []string
	for _, e := range entries {
		if n, ok := strings.CutSuffix(e.Name(), ending); ok {
			names = append(names, n)
		}
	}
	return nil, usageError{errors.New("no " + what + " of that name: there are " + strings.Join(names, ", "))}
}
