package weather

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
)

// Report is a METAR or SPECI: the weather seen at an aerodrome at one time.
type Report struct {
	Kind      string // METAR or SPECI; empty when the text does not say
	Station   string // location indicator; empty when the text has none
	Issued    time.Time
	Auto      bool // made without a human observer
	Corrected bool
	Missing   bool // NIL: there was no report; Base is then empty

	Base                Conditions
	Trends              []Change // for the two hours after Issued
	NoSignificantChange bool     // NOSIG: none is expected in those two hours

	Unread  []string // every group of the text that could not be read
	Remarks string   // what follows RMK, not decoded
}

// trendLength is how long a trend forecast reaches. Annex 3, chapter 6.
const trendLength = 2 * time.Hour

var trendTime = regexp.MustCompile(`^(FM|TL|AT)(\d{2})(\d{2})$`)

// ParseReport reads a METAR or SPECI of at most MaxLength characters. The word
// METAR, the station and the closing = may be missing. ref is a time near that of
// the report, within about two weeks, and gives the month.
//
// It returns an error when the text is no single report, when the time is missing,
// and when not one element of weather could be read. Anything less is in Unread.
func ParseReport(text string, ref time.Time) (Report, error) {
	if err := checkReference(ref); err != nil {
		return Report{}, err
	}
	groups, remarks, err := split(text)
	if err != nil {
		return Report{}, err
	}
	h, body := readHeader(groups, ref)
	r := Report{
		Kind: h.kind, Station: h.station, Issued: h.issued,
		Auto: h.auto, Corrected: h.corrected, Missing: h.missing, Remarks: remarks,
	}
	switch {
	case h.kind == "TAF" || h.hasValid || h.cancelled || h.amended:
		return Report{}, errors.New("this is a forecast (TAF), not a report (METAR or SPECI)")
	case h.missing:
		r.Unread = body
		return r, nil
	case !h.hasIssued:
		return Report{}, fmt.Errorf("report has no time of observation such as 221630Z after %q",
			strings.Join(groups[:len(groups)-len(body)], " "))
	}

	first, changes := sections(body, func(i int) bool { return beginsTrend(body[i]) })
	r.Base = readConditions(first)
	if v := r.Base.Visibility; v != nil && r.Auto && slices.Contains(first, "10SM") {
		v.OrMore = true // the most an automatic station reports (AIM 7-1)
	}
	r.Unread = slices.Clone(r.Base.Unread)
	for _, s := range changes {
		if s[0] == "NOSIG" {
			r.NoSignificantChange = true
			r.Unread = append(r.Unread, s[1:]...)
			continue
		}
		t := readTrend(s, r.Issued)
		r.Trends = append(r.Trends, t)
		r.Unread = append(r.Unread, t.Conditions.Unread...)
	}
	if len(first) == len(r.Base.Unread) {
		return Report{}, fmt.Errorf("report has no weather that could be read: %q", strings.Join(body, " "))
	}
	return r, nil
}

// beginsTrend also names groups of change that a report should not have, so that
// what follows them is not taken for the weather observed.
func beginsTrend(group string) bool {
	switch group {
	case "NOSIG", "BECMG", "TEMPO", "INTER":
		return true
	}
	return strings.HasPrefix(group, "PROB")
}

// readTrend reads BECMG FM1030 TL1130 8000, TEMPO 0600 FG and the like.
func readTrend(s section, issued time.Time) Change {
	bad := s.unreadable(span{issued, issued.Add(trendLength)})
	c := Change{Kind: ChangeKind(s[0]), From: bad.From, To: bad.To}
	if c.Kind != Becoming && c.Kind != Temporary {
		return bad
	}
	groups := s[1:]
	for len(groups) > 0 {
		m := trendTime.FindStringSubmatch(groups[0])
		if m == nil {
			break
		}
		at, ok := trendClock(m[2:], issued)
		if !ok {
			return bad
		}
		switch m[1] {
		case "FM":
			c.From = at
		case "TL":
			c.To = at
		case "AT":
			c.From, c.To = at, at
		}
		groups = groups[1:]
	}
	if c.To.Before(c.From) {
		return bad
	}
	c.Conditions = readConditions(groups)
	return c
}

// trendClock returns the first instant at or after the report with that time of
// day. One that is more than an hour past the two that a trend covers is a slip.
func trendClock(fields []string, issued time.Time) (time.Time, bool) {
	d, ok := clock(append([]string{"01"}, fields...), true)
	if !ok {
		return time.Time{}, false
	}
	year, month, day := issued.Date()
	at := time.Date(year, month, day, d.hour, d.minute, 0, 0, time.UTC)
	if at.Before(issued) {
		at = at.AddDate(0, 0, 1)
	}
	return at, at.Sub(issued) <= trendLength+time.Hour
}
