package coverage

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/paulmach/orb"
)

// MaxBytes is the longest file of demand that is read.
const MaxBytes = 256 << 20

// The columns of a table of demand. The weight may stand in either of two.
var columns = []string{"latitude", "longitude", "people", "weight", "name"}

// DecodeCSV reads a table of points: a header with latitude and longitude in
// decimal degrees, people (or weight; without either each row counts 1) and name;
// other columns are left alone. An error is Faults, with all of them.
func DecodeCSV(data []byte) ([]Cell, error) {
	var faults Faults
	if len(data) > MaxBytes {
		faults.add("the file", "has %d bytes; at most %d are read", len(data), MaxBytes)
		return nil, faults
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if !utf8.Valid(data) {
		faults.add("the file", "is not UTF-8 text: save it as CSV UTF-8")
		return nil, faults
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.ReuseRecord, r.FieldsPerRecord = true, -1
	header, err := r.Read()
	if err != nil {
		faults.add("line 1", "has no header: name the columns latitude,longitude,people,name")
		return nil, faults
	}
	place := placesOf(header, &faults)
	if len(faults) > 0 {
		return nil, faults
	}
	var out []Cell
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			line, why := tornAt(err)
			faults.add(line, "%s", why)
			break
		}
		line, _ := r.FieldPos(0)
		c, ok := cellOf(row, place, line, &faults)
		if !ok {
			continue
		}
		if out = append(out, c); len(out) > MaxCells {
			faults.add(fmt.Sprintf("line %d", line), "at most %d rows are read", MaxCells)
			break
		}
	}
	if len(out) == 0 && len(faults) == 0 {
		faults.add("the file", "has a header and no row")
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return out, nil
}

// tornAt is where a table cannot be read any further, and why.
func tornAt(err error) (line, why string) {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return fmt.Sprintf("line %d", parse.StartLine), parse.Err.Error()
	}
	return "the file", err.Error()
}

// placesOf is where each known column stands; -1: nowhere.
func placesOf(header []string, faults *Faults) map[string]int {
	place := map[string]int{}
	for _, name := range columns {
		place[name] = -1
	}
	for i, name := range header {
		name = strings.ToLower(strings.TrimSpace(name))
		if at, known := place[name]; known && at >= 0 {
			faults.add("line 1", "the column %s is there twice", name)
		} else if known {
			place[name] = i
		}
	}
	for _, name := range []string{"latitude", "longitude"} {
		if place[name] < 0 {
			faults.add("line 1", "the column %s is missing", name)
		}
	}
	if place["people"] >= 0 && place["weight"] >= 0 {
		faults.add("line 1", "people and weight are both there: keep one")
	}
	return place
}

func cellOf(row []string, place map[string]int, line int, faults *Faults) (Cell, bool) {
	before := len(*faults)
	text := func(name string) string {
		if i := place[name]; i >= 0 && i < len(row) {
			return strings.TrimSpace(row[i])
		}
		return ""
	}
	number := func(name string, low, high float64) float64 {
		at := fmt.Sprintf("line %d, %s", line, name)
		v, err := strconv.ParseFloat(text(name), 64)
		switch {
		case text(name) == "":
			faults.add(at, "is empty")
		case err != nil || math.IsNaN(v):
			faults.add(at, "%.40q is not a number with a decimal point", text(name))
		case v < low || v > high:
			faults.add(at, "%g is not from %g to %g", v, low, high)
		}
		return v
	}
	c := Cell{People: 1, Name: text("name"), At: orb.Point{number("longitude", -180, 180), number("latitude", -90, 90)}}
	for _, name := range []string{"people", "weight"} {
		if place[name] >= 0 {
			c.People = number(name, 0, maxWeight)
		}
	}
	return c, len(*faults) == before
}

// maxWeight is the most that one point may stand for: more than there are people.
const maxWeight = 1e11
