package api

import (
	"mime"
	"strconv"
	"strings"
)

// The media types answers come in.
const (
	typeJSON    = "application/json"
	typeGeoJSON = "application/geo+json"
	typeProblem = "application/problem+json"
	typeSchema  = "application/schema+json"
	typeYAML    = "application/yaml"
	typeText    = "text/plain"
	typeHTML    = "text/html"
)

// mediaRange is one element of an Accept header.
type mediaRange struct {
	main, sub string // "*" for any
	q         float64
}

// negotiate picks the offer the Accept header likes best (RFC 9110, section
// 12.5.1): the most specific range decides an offer's weight, and among equal
// weights the first offer wins. Parameters other than q are ignored, and so
// are elements that cannot be read; a header without a readable element says
// nothing, and gets the first offer. False: the header refuses every offer.
func negotiate(accept []string, offers ...string) (string, bool) {
	ranges := readAccept(accept)
	if len(ranges) == 0 {
		return offers[0], true
	}
	best, bestQ := "", 0.0
	for _, offer := range offers {
		if q := weight(ranges, offer); q > bestQ {
			best, bestQ = offer, q
		}
	}
	return best, best != ""
}

func readAccept(headers []string) (ranges []mediaRange) {
	for _, element := range strings.Split(strings.Join(headers, ","), ",") {
		full, params, err := mime.ParseMediaType(element)
		main, sub, ok := strings.Cut(full, "/")
		if err != nil || !ok || (main == "*" && sub != "*") {
			continue
		}
		q := 1.0
		if text, given := params["q"]; given {
			if q, err = strconv.ParseFloat(text, 64); err != nil || !(q >= 0 && q <= 1) {
				continue
			}
		}
		ranges = append(ranges, mediaRange{main: main, sub: sub, q: q})
	}
	return ranges
}

// weight is the q of the most specific range that matches the offer, 0 if none
// does. Of equally specific ranges the kindest counts.
func weight(ranges []mediaRange, offer string) float64 {
	main, sub, _ := strings.Cut(offer, "/")
	q, level := 0.0, 0
	for _, r := range ranges {
		at := 0
		switch {
		case r.main == main && r.sub == sub:
			at = 3
		case r.main == main && r.sub == "*":
			at = 2
		case r.main == "*":
			at = 1
		}
		if at > level || (at == level && at > 0 && r.q > q) {
			q, level = r.q, at
		}
	}
	return q
}
