package weather

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"time"
	"unicode"
)

// MaxLength is the most characters a message may have. Real ones have under 1000.
const MaxLength = 2000

// header is the beginning of a message, up to its first element.
type header struct {
	kind      string
	station   string
	issued    time.Time
	hasIssued bool
	valid     span
	hasValid  bool
	auto      bool
	corrected bool
	amended   bool
	missing   bool
	cancelled bool
}

var (
	stationGroup   = regexp.MustCompile(`^[A-Z][A-Z0-9]{3}$`)
	correctedGroup = regexp.MustCompile(`^(COR|CC[A-Z])$`)
)

// checkReference keeps the search for a month within the calendar.
func checkReference(ref time.Time) error {
	if y := ref.UTC().Year(); y < 1 || y > 9999 {
		return fmt.Errorf("reference time is in the year %d; give one from 1 to 9999", y)
	}
	return nil
}

// split takes a message apart into its groups and its remarks.
func split(text string) (groups []string, remarks string, err error) {
	if len(text) > MaxLength {
		return nil, "", fmt.Errorf("message has %d characters, at most %d are read", len(text), MaxLength)
	}
	for i, r := range text {
		if r > unicode.MaxASCII && !unicode.IsSpace(r) || r < ' ' && !unicode.IsSpace(r) || r == unicode.MaxASCII {
			return nil, "", fmt.Errorf("character %q at byte %d does not occur in a weather message", r, i)
		}
	}
	text, rest, ended := strings.Cut(text, "=")
	if ended && strings.Trim(rest, "= \t\r\n") != "" {
		return nil, "", errors.New("there is text after the sign =, which ends a message; give one message at a time")
	}
	groups = strings.Fields(strings.ToUpper(text))
	if len(groups) == 0 {
		return nil, "", errors.New("weather message is empty")
	}
	for i, group := range groups {
		if group == "RMK" {
			return groups[:i], strings.Join(groups[i+1:], " "), nil
		}
	}
	return groups, "", nil
}

// readHeader reads kind, station, times and status from the first groups and
// returns the rest. Every part is optional here, and each may come once; the
// statuses may come anywhere among the others.
func readHeader(groups []string, ref time.Time) (header, []string) {
	var h header
	if len(groups) > 0 && (groups[0] == "METAR" || groups[0] == "SPECI" || groups[0] == "TAF") {
		h.kind, groups = groups[0], groups[1:]
	}
	for len(groups) > 0 && h.take(groups[0], ref) {
		groups = groups[1:]
	}
	return h, groups
}

// take reads one group of the header.
func (h *header) take(group string, ref time.Time) bool {
	switch {
	case group == "AUTO":
		h.auto = true
	case group == "AMD":
		h.amended = true
	case group == "NIL":
		h.missing = true
	case group == "CNL":
		h.cancelled = true
	case correctedGroup.MatchString(group):
		h.corrected = true
	case issueGroup.MatchString(group):
		at, ok := clock(issueGroup.FindStringSubmatch(group)[1:], false)
		if !ok || h.hasIssued || h.hasValid {
			return false
		}
		h.issued, h.hasIssued = at.nearest(ref), true
	case periodGroup.MatchString(group):
		if h.hasIssued {
			ref = h.issued
		}
		valid, ok := readSpan(group, ref)
		if !ok || h.hasValid {
			return false
		}
		h.valid, h.hasValid = valid, true
	case h.station == "" && !h.hasIssued && !h.hasValid && stationGroup.MatchString(group):
		h.station = group
	default:
		return false
	}
	return true
}
