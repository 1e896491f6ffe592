package planning

import (
	"bytes"
	"compress/flate"
	"encoding/gob"
	"errors"
	"fmt"
	"io"
	"strings"

	"surgeonward/facilities"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// packed is outcomes in columns: what is the same at many cells once, and the two times of
// each, to the last bit. Numbers stand in lists of their own: the encoding leaves out what is
// zero in a struct, with its sign.
type packed struct {
	Ways          []way
	First, Second column
}

// column is one option of each cell.
type column struct {
	Way           []int32 // place in Ways; -1: nobody is reached
	Typical, Slow []float64
}

func (c *column) add(way int32, total facilities.Timing) {
	c.Way, c.Typical, c.Slow = append(c.Way, way), append(c.Typical, total.TypicalS), append(c.Slow, total.SlowS)
}

// way is all of a first option but its times.
type way struct {
	ID          string
	Shape       routing.Shape
	Destination string
	Assets      []string
}

// maxPacked bounds what is read of one tile, in bytes.
const maxPacked = 64 << 20

func packOutcomes(outcomes []coverage.Outcome) ([]byte, error) {
	var p packed
	known := map[string]int32{}
	place := func(b *routing.Best) int32 {
		if !b.Reached {
			return -1
		}
		key := strings.Join(append([]string{b.ID, string(b.Shape), b.Destination}, b.Assets...), "\x00")
		at, ok := known[key]
		if !ok {
			at = int32(len(p.Ways))
			known[key] = at
			p.Ways = append(p.Ways, way{b.ID, b.Shape, b.Destination, b.Assets})
		}
		return at
	}
	for i := range outcomes {
		o := &outcomes[i]
		p.First.add(place(&o.Best), o.Total)
		second := routing.Best{}
		if o.Second != nil {
			second = *o.Second
		}
		p.Second.add(place(&second), second.Total)
	}
	var out bytes.Buffer
	short, err := flate.NewWriter(&out, flate.BestSpeed)
	if err != nil {
		return nil, err
	}
	if err := errors.Join(gob.NewEncoder(short).Encode(&p), short.Close()); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// unpackOutcomes reads the outcomes of so many cells.
func unpackOutcomes(content []byte, cells int) ([]coverage.Outcome, error) {
	var p packed
	if err := gob.NewDecoder(io.LimitReader(flate.NewReader(bytes.NewReader(content)), maxPacked)).Decode(&p); err != nil {
		return nil, err
	}
	out := make([]coverage.Outcome, len(p.First.Way))
	if len(out) != cells {
		return nil, fmt.Errorf("it has %d cells, not %d", len(out), cells)
	}
	for i := range out {
		var second routing.Best
		if err := errors.Join(p.get(&p.First, i, &out[i].Best), p.get(&p.Second, i, &second)); err != nil {
			return nil, err
		}
		if second.Reached {
			out[i].Second = &second
		}
	}
	return out, nil
}

// get reads the option of a cell.
func (p *packed) get(from *column, cell int, to *routing.Best) error {
	if cell >= len(from.Way) || cell >= len(from.Typical) || cell >= len(from.Slow) {
		return fmt.Errorf("it has no cell %d", cell)
	}
	switch at := int(from.Way[cell]); {
	case at < -1 || at >= len(p.Ways):
		return fmt.Errorf("it has no way %d", at)
	case at >= 0:
		w := &p.Ways[at]
		*to = routing.Best{Reached: true, ID: w.ID, Shape: w.Shape, Destination: w.Destination, Assets: w.Assets}
	}
	to.Total = facilities.Timing{TypicalS: from.Typical[cell], SlowS: from.Slow[cell]}
	return nil
}
