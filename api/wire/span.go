package wire

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"surgeonward/api/record"
	"surgeonward/facilities/strictjson"
)

// The bounds of a page of cases. Each case has an answer that must be read.
const (
	DefaultCases = 50
	MaxCases     = 200
)

// Span is which cases GET /v1/records asks for.
type Span struct {
	From, To time.Time // when the question was asked; To not included; zero: no limit
	After    int64     // number of the last case of the page before; 0: the first page
	Limit    int
}

var spanParameters = []string{"from", "to", "after", "limit"}

// DecodeSpan reads the query of GET /v1/records. A *RequestError has every fault.
func DecodeSpan(raw string) (Span, error) {
	values, err := url.ParseQuery(raw)
	if err != nil {
		return Span{}, &RequestError{Kind: Query, Faults: []Fault{{Parameter: "query", Detail: "the query cannot be read: encode % as %25, & as %26 and ; as %3B"}}}
	}
	s := Span{Limit: DefaultCases}
	var faults []Fault
	fault := func(name, format string, args ...any) {
		faults = append(faults, Fault{Parameter: name, Detail: fmt.Sprintf(format, args...)})
	}
	for _, name := range spanParameters {
		given := values[name]
		if len(given) == 0 {
			continue
		}
		if len(given) > 1 {
			fault(name, "given more than once: keep one")
			continue
		}
		switch text := given[0]; name {
		case "from":
			s.From, err = spanTime(text)
		case "to":
			s.To, err = spanTime(text)
		case "after":
			s.After, err = record.ParseID(text)
		case "limit":
			if s.Limit, err = strconv.Atoi(text); err != nil || s.Limit < 1 || s.Limit > MaxCases {
				err = fmt.Errorf("limit must be a whole number from 1 to %d (got %s)", MaxCases, strictjson.Quote(text))
			}
		}
		if err != nil {
			fault(name, "%s", err)
		}
	}
	if !s.To.IsZero() && s.To.Before(s.From) {
		fault("to", "to is before from: exchange them")
	}
	faults = append(faults, strangers(values)...)
	if len(faults) > 0 {
		return Span{}, &RequestError{Kind: Query, Faults: faults}
	}
	return s, nil
}

func spanTime(text string) (time.Time, error) {
	// a plus sign that was not encoded as %2B arrives as a space
	t, err := time.Parse(time.RFC3339, strings.ReplaceAll(text, " ", "+"))
	switch {
	case err != nil:
		return t, fmt.Errorf("must be a time with its zone, such as 2031-03-14T21:40:00Z (got %s)", strictjson.Quote(text))
	case t.Year() < FirstYear || t.Year() > LastYear:
		return t, fmt.Errorf("year %d is not between %d and %d", t.Year(), FirstYear, LastYear)
	}
	return t, nil
}

// strangers refuses parameters that are not known.
func strangers(values url.Values) (faults []Fault) {
	var names []string
	for name := range values {
		if !slices.Contains(spanParameters, name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names[:min(len(names), maxUnknown)] {
		faults = append(faults, Fault{Parameter: shown(name), Detail: "unknown parameter: remove it, or use one of " + strings.Join(spanParameters, ", ")})
	}
	return faults
}
