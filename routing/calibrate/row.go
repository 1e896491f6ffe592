package calibrate

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/geo"
)

// The bounds of what a row may say. They keep a mistyped unit out; they are
// not statements about vehicles.
const (
	minDurationS = 1.0
	maxDurationS = facilities.MaxTiming
	maxDrivenM   = 5e6
	firstYear    = 1970
	lastYear     = 2199
)

var (
	plainID     = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$`)
	plainNumber = regexp.MustCompile(`^[+-]?[0-9]{1,15}(\.[0-9]{1,20})?$`)
)

// rowReader reads the rows of one file.
type rowReader struct {
	*faults
	*header
	stages []string
	split  map[string]bool // the stages that are two allowances, by day and by night
	seen   map[string]int  // row by journey, stage and start
}

// read returns the row's journey; what it cannot read is a fault.
func (r *rowReader) read(row int, record []string) Journey {
	j := Journey{Row: row}
	if len(record) != r.width {
		r.add(row, "", "%d values where the header names %d columns", len(record), r.width)
		return j
	}
	before := r.count()
	text := func(column string) string { return r.cell(record, column) }
	j.ID = r.id(row, colJourney, text(colJourney), true)
	j.Asset = r.id(row, colAsset, text(colAsset), false)
	j.Area = r.id(row, colArea, text(colArea), false)
	j.StartedAt = r.instant(row, colStarted, text(colStarted))
	j.DurationS = r.number(row, colDuration, text(colDuration), minDurationS, maxDurationS)
	j.From = r.point(row, colFromLon, colFromLat, text)
	stage := r.stage(row, text(colStage))
	if travels := stage == TravelRoad || stage == TravelAir; travels {
		j.To = r.point(row, colToLon, colToLat, text)
	}
	if driven := text(colDriven); driven != "" {
		if stage != TravelRoad && stage != "" {
			r.add(row, colDriven, "a distance driven belongs to %s: leave it empty", TravelRoad)
		}
		j.DrivenM = r.number(row, colDriven, driven, 1, maxDrivenM)
	}
	if r.count() > before {
		return j
	}
	key := strings.Join([]string{j.ID, stage, strconv.FormatInt(j.StartedAt.UnixNano(), 10)}, " ")
	if first, twice := r.seen[key]; twice {
		r.add(row, "", "the same journey, stage and start as row %d: keep one", first)
		return j
	}
	r.seen[key] = row
	j.Stage = stage
	if r.split[stage] {
		j.Stage = stage + "_" + j.Light()
	}
	return j
}

func (r *rowReader) id(row int, column, text string, must bool) string {
	switch {
	case text == "" && must:
		r.add(row, column, "empty: give every journey an id")
	case text != "" && !plainID.MatchString(text):
		r.add(row, column, "%s is not 1 to 64 letters, digits and ._- without blanks", quote(text))
	}
	return text
}

// stage returns the word, or "" with a fault.
func (r *rowReader) stage(row int, text string) string {
	for _, known := range r.stages {
		if text == known {
			return text
		}
	}
	if text == "" {
		r.add(row, colStage, "empty: give %s, %s or the id of an allowance", TravelRoad, TravelAir)
	} else {
		r.add(row, colStage, "%s", checkStage(text, r.stages))
	}
	return ""
}

func (r *rowReader) instant(row int, column, text string) time.Time {
	t, err := time.Parse(time.RFC3339, text)
	t = t.UTC()
	switch {
	case err != nil:
		r.add(row, column, "%s is not a time with its zone such as 2031-03-14T21:40:00Z", quote(text))
	case t.Year() < firstYear || t.Year() > lastYear:
		r.add(row, column, "the year %d is outside %d to %d", t.Year(), firstYear, lastYear)
	}
	return t
}

func (r *rowReader) number(row int, column, text string, low, high float64) float64 {
	v, ok := r.plain(row, column, text)
	if ok && !(v >= low && v <= high) {
		r.add(row, column, "%s is outside %s to %s", text, plain(low), plain(high))
	}
	return v
}

// plain reads a number written without exponent, so that no one digit can make
// it huge, and without separators of thousands, which countries disagree on.
func (r *rowReader) plain(row int, column, text string) (float64, bool) {
	switch {
	case text == "":
		r.add(row, column, "empty: a number is needed")
		return 0, false
	case !plainNumber.MatchString(text):
		r.add(row, column, "%s is not a plain number such as 412 or -29.41, with a point and without units", quote(text))
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		r.add(row, column, "%s is not a number", quote(text))
		return 0, false
	}
	return v, true
}

func (r *rowReader) point(row int, lonColumn, latColumn string, text func(string) string) orb.Point {
	lon, lonOK := r.plain(row, lonColumn, text(lonColumn))
	lat, latOK := r.plain(row, latColumn, text(latColumn))
	p := orb.Point{lon, lat}
	if lonOK && latOK {
		if err := geo.Check(p); err != nil {
			r.add(row, lonColumn+" and "+latColumn, "%s", err)
		}
	}
	return p
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
