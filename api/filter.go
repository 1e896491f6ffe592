package api

import (
	"encoding/json"
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/labstack/echo/v4"
	"github.com/paulmach/orb"
	"golang.org/x/text/unicode/norm"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
)

// filter reads what a query asks of a collection. All says that it asks
// nothing.
func (l *collection) filter(c echo.Context, r *region.Region) (keep func(*region.Element) bool, all bool, err error) {
	names := []string{"kind", "bbox", "text"}
	switch l {
	case facilityList:
		names = append(names, "capability")
	case assetList:
		names = append(names, "skill", "state")
	}
	q, err := readQuery(c, names...)
	if err != nil {
		return nil, false, err
	}
	var box *bounds
	if text := q.Get("bbox"); q.Has("bbox") {
		if box, err = readBounds(text); err != nil {
			return nil, false, badParameter("bbox", err.Error())
		}
	}
	kinds, needs, states := words(q.Get("kind")), slices.Concat(words(q.Get("capability")), words(q.Get("skill"))), words(q.Get("state"))
	text := fold(q.Get("text"))
	keep = func(e *region.Element) bool {
		d := l.describe(r, e)
		return (len(kinds) == 0 || slices.Contains(kinds, d.kind)) &&
			(len(states) == 0 || slices.Contains(states, d.state)) &&
			!slices.ContainsFunc(needs, func(word string) bool { return !slices.Contains(d.can, word) }) &&
			(text == "" || strings.Contains(fold(d.id+" "+d.name), text)) &&
			(box == nil || box.meets(d.lines))
	}
	return keep, len(q) == 0, nil
}

// described is what filters look at.
type described struct {
	id, kind, name, state string
	can                   []string // capabilities or skills
	lines                 []orb.LineString
}

func (l *collection) describe(r *region.Region, e *region.Element) described {
	d := described{id: e.ID}
	switch l {
	case facilityList:
		if f, ok := r.Facilities.Get(e.ID); ok {
			d.kind, d.name, d.can, d.lines = string(f.Kind), f.Name, f.Capabilities, []orb.LineString{{f.Position}}
		}
	case assetList:
		assets := r.Fleet.Assets()
		i, ok := slices.BinarySearchFunc(assets, e.ID, func(a routing.Asset, id string) int { return strings.Compare(a.ID, id) })
		if !ok {
			break
		}
		a := &assets[i]
		d.kind, d.name, d.can, d.state = string(a.Kind), a.Name, a.Skills, string(a.State)
		if a.Position != nil {
			d.lines = []orb.LineString{{*a.Position}}
		} else if f, ok := r.Facilities.Get(a.Base); ok {
			d.lines = []orb.LineString{{f.Position}}
		}
	case roadList:
		var feature struct {
			Properties struct{ Kind, Name string }
			Geometry   struct{ Coordinates any }
		}
		if json.Unmarshal(e.Text, &feature) == nil { // it has been checked
			d.kind, d.name, d.lines = feature.Properties.Kind, feature.Properties.Name, linesIn(feature.Geometry.Coordinates)
		}
	}
	return d
}

// linesIn finds the lines in the coordinates of any kind of GeoJSON geometry.
func linesIn(coordinates any) []orb.LineString {
	items, _ := coordinates.([]any)
	var line orb.LineString
	var lines []orb.LineString
	for _, item := range items {
		inner, _ := item.([]any)
		if len(inner) >= 2 {
			lon, isLon := inner[0].(float64)
			lat, isLat := inner[1].(float64)
			if isLon && isLat {
				line = append(line, orb.Point{lon, lat})
				continue
			}
		}
		lines = append(lines, linesIn(item)...)
	}
	if len(line) > 0 {
		lines = append(lines, line)
	}
	return lines
}

// bounds is a box in degrees. East is less than west where it spans the
// antimeridian (RFC 7946, section 5.2).
type bounds struct{ west, south, east, north float64 }

func readBounds(text string) (*bounds, error) {
	parts := strings.Split(text, ",")
	if len(parts) != 4 {
		return nil, fmt.Errorf("give four numbers in degrees: west,south,east,north")
	}
	var n [4]float64
	for i, part := range parts {
		v, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		limit := 180.0
		if i%2 == 1 {
			limit = 90
		}
		if err != nil || !(math.Abs(v) <= limit) {
			return nil, fmt.Errorf("%s must be a number of degrees from %g to %g: give west,south,east,north", strictjson.Quote(part), -limit, limit)
		}
		n[i] = v
	}
	if n[1] > n[3] {
		return nil, fmt.Errorf("south %g is north of north %g: give west,south,east,north", n[1], n[3])
	}
	return &bounds{n[0], n[1], n[2], n[3]}, nil
}

// meets reports whether the box meets the bounding box of any of the lines,
// whose edges take the shorter way round.
func (b *bounds) meets(lines []orb.LineString) bool {
	east := b.east
	if east < b.west {
		east += 360
	}
	for _, line := range lines {
		lon := line[0].Lon()
		west, most, south, north := lon, lon, line[0].Lat(), line[0].Lat()
		for i, p := range line[1:] {
			lon += math.Remainder(p.Lon()-line[i].Lon(), 360)
			west, most = min(west, lon), max(most, lon)
			south, north = min(south, p.Lat()), max(north, p.Lat())
		}
		if south > b.north || north < b.south {
			continue
		}
		for _, turn := range []float64{-720, -360, 0, 360, 720} {
			if west+turn <= east && most+turn >= b.west {
				return true
			}
		}
	}
	return false
}

// fold makes texts comparable whatever their case and accents.
func fold(text string) string {
	return strings.Map(func(c rune) rune {
		if unicode.Is(unicode.Mn, c) {
			return -1
		}
		return unicode.ToLower(c)
	}, norm.NFKD.String(strings.TrimSpace(text)))
}

func words(list string) (out []string) {
	for word := range strings.SplitSeq(list, ",") {
		if word = strings.TrimSpace(word); word != "" {
			out = append(out, word)
		}
	}
	return out
}

// maxText is the longest value of a query parameter, in bytes.
const maxText = 400

// readQuery reads a query of which only the named parameters may be given, each
// once.
func readQuery(c echo.Context, names ...string) (url.Values, error) {
	values, err := url.ParseQuery(c.Request().URL.RawQuery)
	if err != nil {
		return nil, badParameter("query", "the query cannot be read: encode % as %25, & as %26 and ; as %3B")
	}
	faults := wire.UnknownParameters(values, names)
	for _, name := range names {
		switch given := values[name]; {
		case len(given) > 1:
			faults = append(faults, wire.Fault{Parameter: name, Detail: "given more than once: keep one"})
		case len(given) == 1 && len(given[0]) > maxText:
			faults = append(faults, wire.Fault{Parameter: name, Detail: fmt.Sprintf("longer than %d bytes: shorten it", maxText)})
		}
	}
	if len(faults) > 0 {
		return nil, faulty(badQuery, faults, nil)
	}
	return values, nil
}

func badParameter(name, detail string) error {
	return faulty(badQuery, []wire.Fault{{Parameter: name, Detail: detail}}, nil)
}

// flag reads a parameter that is true or false; false where it is not given.
func flag(q url.Values, name string) (bool, error) {
	switch text := q.Get(name); {
	case !q.Has(name), text == "false":
		return false, nil
	case text == "true":
		return true, nil
	}
	return false, badParameter(name, "must be true or false")
}

// number reads a whole number within bounds; otherwise where it is not given.
func number(q url.Values, name string, least, most, otherwise int64) (int64, error) {
	if !q.Has(name) {
		return otherwise, nil
	}
	n, err := strconv.ParseInt(q.Get(name), 10, 64)
	if err != nil || n < least || n > most {
		return 0, badParameter(name, fmt.Sprintf("must be a whole number from %d to %d", least, most))
	}
	return n, nil
}
