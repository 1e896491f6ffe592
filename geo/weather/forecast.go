package weather

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Forecast is a TAF: the weather expected at an aerodrome over a period.
type Forecast struct {
	Station   string    // location indicator; empty when the text has none
	Issued    time.Time // zero when the text does not say
	From, To  time.Time // validity, To not included
	Amended   bool
	Corrected bool
	Cancelled bool // CNL: the forecast is withdrawn; Base is then empty
	Missing   bool // NIL: there was no forecast; Base is then empty

	Base         Conditions
	Changes      []Change // in the order of the text
	Temperatures []ExtremeTemperature

	Unread  []string // every group of the text that could not be read
	Remarks string   // what follows RMK, and notes on amendments, not decoded
}

// ExtremeTemperature is a highest or lowest temperature forecast for a time.
type ExtremeTemperature struct {
	Highest      bool // else it is the lowest
	TemperatureC float64
	At           time.Time
}

// maxValidity is longer than any forecast runs; the longest are for 30 hours. A
// period that comes out longer has a slip in it.
const maxValidity = 48 * time.Hour

// ParseForecast reads a TAF of at most MaxLength characters. The word TAF, the
// station, the time of issue and the closing = may be missing. ref is a time near
// that of the forecast, within about two weeks, and gives the month. Only the form
// with days in all times is read (0918/1024, FM091930), which has been the standard
// since 2008.
//
// It returns an error when the text is no single forecast, when the period of
// validity is missing, and when no weather could be read. Anything less is in
// Unread. A group of change whose kind or time could not be read also becomes a
// Change, of kind Unreadable.
func ParseForecast(text string, ref time.Time) (Forecast, error) {
	if err := checkReference(ref); err != nil {
		return Forecast{}, err
	}
	groups, remarks, err := split(text)
	if err != nil {
		return Forecast{}, err
	}
	h, body := readHeader(groups, ref)
	f := Forecast{
		Station: h.station, Issued: h.issued, From: h.valid.from, To: h.valid.to,
		Amended: h.amended, Corrected: h.corrected, Cancelled: h.cancelled, Missing: h.missing, Remarks: remarks,
	}
	switch {
	case h.kind == "METAR" || h.kind == "SPECI":
		return Forecast{}, errors.New("this is a report (METAR or SPECI), not a forecast (TAF)")
	case h.missing || h.cancelled:
		f.Unread = body
		return f, nil
	case !h.hasValid:
		return Forecast{}, fmt.Errorf("forecast has no period of validity such as 0918/1024 after %q",
			strings.Join(groups[:len(groups)-len(body)], " "))
	case f.To.Sub(f.From) > maxValidity:
		return Forecast{}, fmt.Errorf("period of validity from %s to %s is longer than 48 hours",
			f.From.Format(time.RFC3339), f.To.Format(time.RFC3339))
	}

	body = f.takeNotes(body)
	body = f.takeTemperatures(body)
	first, changes := sections(body, func(i int) bool { return beginsChange(body, i) })
	f.Base = readConditions(first)
	f.Unread = slices.Clone(f.Base.Unread)
	for _, s := range changes {
		c := readChange(s, span{f.From, f.To})
		f.Changes = append(f.Changes, c)
		f.Unread = append(f.Unread, c.Conditions.Unread...)
	}
	readable := func(c Change) bool { return c.Kind != Unreadable }
	if len(first) == len(f.Base.Unread) && !slices.ContainsFunc(f.Changes, readable) {
		return Forecast{}, fmt.Errorf("forecast has no weather that could be read: %q", strings.Join(body, " "))
	}
	return f, nil
}

// takeNotes moves notes such as AMD NOT SKED AFT 1004 to the remarks.
func (f *Forecast) takeNotes(body []string) []string {
	for i := 0; i+1 < len(body); i++ {
		if body[i] == "AMD" && (body[i+1] == "NOT" || body[i+1] == "LTD") {
			f.Remarks = strings.TrimSpace(strings.Join(body[i:], " ") + " " + f.Remarks)
			return body[:i]
		}
	}
	return body
}

// takeTemperatures takes TX25/1612Z and TNM02/1704Z out of the body: they belong to
// the whole forecast wherever they stand.
func (f *Forecast) takeTemperatures(body []string) []string {
	var rest []string
	for _, group := range body {
		m := extremeGroup.FindStringSubmatch(group)
		if m == nil {
			rest = append(rest, group)
			continue
		}
		at, ok := clock(m[3:], true)
		if !ok {
			rest = append(rest, group)
			continue
		}
		f.Temperatures = append(f.Temperatures, ExtremeTemperature{
			Highest: m[1] == "X", TemperatureC: *celsius(m[2]), At: at.nearest(f.From),
		})
	}
	return rest
}

// beginsChange is wide: a probability, a time or a period with a slip in it still
// begins a change, so that what follows is not taken for what came before.
func beginsChange(body []string, i int) bool {
	group := body[i]
	switch {
	case group == "TEMPO":
		return i == 0 || !strings.HasPrefix(body[i-1], "PROB")
	case group == "BECMG" || group == "INTER" || strings.HasPrefix(group, "PROB"):
		return true
	case strings.HasPrefix(group, "FM") && len(group) > 2 && (group[2] <= '9' || group[2] == 'O'):
		return true
	case periodGroup.MatchString(group):
		return i == 0 || !announcesPeriod(body[i-1])
	}
	return false
}

func announcesPeriod(group string) bool {
	return group == "BECMG" || group == "TEMPO" || group == "INTER" || strings.HasPrefix(group, "PROB")
}

// readChange reads a group of change of a forecast.
func readChange(s section, valid span) Change {
	c := Change{Kind: ChangeKind(s[0])}
	groups := s[1:]
	switch head := s[0]; {
	case fromGroup.MatchString(head):
		d, ok := clock(fromGroup.FindStringSubmatch(head)[1:], true)
		at := span{d.nearest(valid.from), valid.to}
		if !ok || !at.within(valid) || !at.from.Before(at.to) {
			return s.unreadable(valid)
		}
		return Change{Kind: FromTime, From: at.from, To: at.to, Conditions: readConditions(groups)}
	case head == "PROB30" || head == "PROB40":
		c.Kind, c.Probability = Probable, int(number(head[4:]))
		if len(groups) > 0 && groups[0] == "TEMPO" {
			c.Kind, groups = Temporary, groups[1:]
		}
	case c.Kind != Becoming && c.Kind != Temporary:
		return s.unreadable(valid)
	}
	if len(groups) == 0 {
		return s.unreadable(valid)
	}
	period, ok := readSpan(groups[0], valid.from)
	if !ok || !period.within(valid) {
		return s.unreadable(valid)
	}
	c.From, c.To, c.Conditions = period.from, period.to, readConditions(groups[1:])
	return c
}
