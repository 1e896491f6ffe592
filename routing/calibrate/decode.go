package calibrate

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
)

// The bounds of a file: some years of journeys of a large region.
const (
	MaxBytes = 64 << 20
	MaxRows  = 200_000
)

// Decode reads journeys from CSV text (RFC 4180: commas, one header row, quotes
// where needed; UTF-8). Columns, in any order:
//
//	journey_id   the same for all stages of a journey; letters, digits and ._- only
//	stage        travel_road, travel_air, or an allowance id; see Stages
//	asset        id in fleet.json; may be empty
//	area         the region's own word for a part of it; may be empty
//	started_at   RFC 3339 with zone: 2031-03-14T21:40:00Z
//	duration_s   1 to 172800
//	from_lon, from_lat, to_lon, to_lat   degrees; the end is needed for travel only
//	driven_m     along the road, 1 to 5000000; may be empty, travel_road only
//
// Columns whose names start with x_ are not read; one that looks as if it told
// who a patient is, is refused. Every fault is returned, with its row and its
// column; journeys are nil when there is a fault.
func Decode(data []byte) ([]Journey, []Fault) { return decode(data, MaxRows) }

func decode(data []byte, maxRows int) ([]Journey, []Fault) {
	var f faults
	if len(data) > MaxBytes {
		f.add(0, "", "the file has %d bytes, over the limit of %d: split it by date", len(data), MaxBytes)
		return nil, f.all()
	}
	journeys := f.journeys(data, maxRows)
	if f.count() > 0 {
		return nil, f.all()
	}
	return journeys, nil
}

func (f *faults) journeys(data []byte, maxRows int) []Journey {
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	r.FieldsPerRecord = -1 // counted below, to name every row at once
	r.ReuseRecord = true
	names, err := r.Read()
	if err != nil {
		f.unreadable(err, "the file is empty: the first row names the columns")
		return nil
	}
	head, ok := f.header(1, names)
	if !ok {
		return nil
	}
	rows := rowReader{faults: f, header: &head, stages: Stages(), split: splitByLight(), seen: map[string]int{}}
	journeys := make([]Journey, 0, min(bytes.Count(data, []byte("\n")), maxRows))
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			f.unreadable(err, "")
			return nil
		}
		line, _ := r.FieldPos(0)
		if len(journeys) == maxRows {
			f.add(line, "", "more than %d journeys: split the file by date", maxRows)
			return nil
		}
		// A row with a fault is kept too, so that the limit counts it.
		journeys = append(journeys, rows.read(line, record))
	}
	if len(journeys) == 0 {
		f.add(0, "", "the file names columns but has no journeys")
	}
	return journeys
}

// unreadable reports text that is no CSV. What follows it cannot be told apart.
func (f *faults) unreadable(err error, empty string) {
	var parse *csv.ParseError
	switch {
	case errors.Is(err, io.EOF):
		f.add(0, "", "%s", empty)
	case errors.As(err, &parse):
		f.add(parse.Line, "", "not CSV (%v): mend the quotes; rows after it were not read", parse.Err)
	default:
		f.add(0, "", "not CSV: %s", fmt.Sprint(err))
	}
}
