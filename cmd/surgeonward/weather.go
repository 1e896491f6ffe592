package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
)

// weatherFlags are what the command line says of the weather.
type weatherFlags struct {
	Wind        string   `help:"Wind everywhere, in degrees true and knots: 240/18, with gusts 240/18G30." placeholder:"FROM/KNOTS" group:"The weather:"`
	CeilingFt   *float64 `help:"Ceiling everywhere, in feet above ground." placeholder:"FEET" group:"The weather:"`
	VisibilityM *float64 `help:"Visibility everywhere, in metres." placeholder:"METRES" group:"The weather:"`
	Report      []string `help:"A METAR, SPECI or TAF of a station in the region's settings; repeat it for more." sep:"none" placeholder:"TEXT" group:"The weather:"`
	Reports     string   `help:"File with such reports, one a line; # starts a comment." placeholder:"FILE" group:"The weather:"`
	Weather     string   `help:"One of the demonstration region's weathers, such as windy-night." placeholder:"NAME" group:"The weather:"`

	wind    map[string]any // as it stands in the request
	reports []reportLine   // the same of the reports
}

// reportLine is a report with where it comes from, for its faults.
type reportLine struct{ text, from string }

func (f *weatherFlags) members() []memberFlag {
	return []memberFlag{
		{"--wind", []string{"conditions", "wind"}, f.wind != nil, f.wind},
		{"--ceiling-ft", []string{"conditions", "ceiling_ft"}, f.CeilingFt != nil, f.CeilingFt},
		{"--visibility-m", []string{"conditions", "visibility_m"}, f.VisibilityM != nil, f.VisibilityM},
		{"--report", []string{"conditions", "reports"}, len(f.reports) > 0, texts(f.reports)},
	}
}

// readWeather reads the wind, and the reports from flags and file.
func (f *weatherFlags) readWeather() error {
	if f.Wind != "" {
		wind, err := readWind(f.Wind)
		if err != nil {
			return err
		}
		f.wind = wind
	}
	for i, text := range f.Report {
		from := "--report"
		if len(f.Report) > 1 {
			from += " number " + strconv.Itoa(i+1)
		}
		f.reports = append(f.reports, reportLine{text, from})
	}
	if f.Reports == "" {
		return nil
	}
	lines, err := readReports(f.Reports)
	f.reports = append(f.reports, lines...)
	return err
}

// spokenWind is a wind the way it is written down: 240/18 or 240/18G30.
var spokenWind = regexp.MustCompile(`^(\d{1,3})/(\d{1,3})(?:[Gg](\d{1,3}))?$`)

func readWind(text string) (map[string]any, error) {
	m := spokenWind.FindStringSubmatch(text)
	if m == nil {
		return nil, usageError{errors.New("--wind: write degrees true and knots, such as 240/18, or with gusts 240/18G30")}
	}
	number := func(digits string) int { n, _ := strconv.Atoi(digits); return n }
	wind := map[string]any{"from_deg": number(m[1]), "speed_kt": number(m[2])}
	if m[3] != "" {
		wind["gust_kt"] = number(m[3])
	}
	return wind, nil
}

// maxReportsFile is far more than a request can hold, in bytes.
const maxReportsFile = 1 << 20

func readReports(path string) ([]reportLine, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxReportsFile+1))
	if err != nil {
		return nil, err
	}
	if len(data) > maxReportsFile {
		return nil, fmt.Errorf("%s is longer than %d bytes: give a file with one report a line", path, maxReportsFile)
	}
	lines := reportLines(string(data), "--reports "+path)
	if len(lines) == 0 {
		return nil, fmt.Errorf("%s holds no report: write one on each line", path)
	}
	return lines, nil
}

// reportLines are the reports of a text, one a line, without comments and
// empty lines.
func reportLines(text, from string) (out []reportLine) {
	n := 0
	for line := range strings.Lines(text) {
		n++
		line, _, _ = strings.Cut(line, "#")
		if line = strings.TrimSpace(line); line != "" {
			out = append(out, reportLine{line, fmt.Sprintf("%s line %d", from, n)})
		}
	}
	return out
}

func texts(lines []reportLine) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = l.text
	}
	return out
}

// origin is where the report behind a place in the request comes from.
func (f *weatherFlags) origin(pointer string) (string, bool) {
	index, ok := strings.CutPrefix(pointer, "#/conditions/reports/")
	n, err := strconv.Atoi(index)
	if !ok || err != nil || n < 0 || n >= len(f.reports) {
		return "", false
	}
	return f.reports[n].from, true
}
