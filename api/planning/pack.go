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
// each, to the last bit.
type packed struct {
	Ways          []way
	First, Second []int32 // for each cell the place of the way in Ways; -1: nobody is reached
	Times         []facilities.Timing
	SecondTimes   []facilities.Timing
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
		p.First, p.Times = append(p.First, place(&o.Best)), append(p.Times, o.Total)
		p.Second, p.SecondTimes = append(p.Second, place(&o.Second)), append(p.SecondTimes, o.Second.Total)
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
	if len(p.First) != cells || len(p.Second) != cells || len(p.Times) != cells || len(p.SecondTimes) != cells {
		return nil, fmt.Errorf("it has %d cells, not %d", len(p.First), cells)
	}
	out := make([]coverage.Outcome, cells)
	for i := range out {
		for _, one := range []struct {
			to    *routing.Best
			place int32
			total facilities.Timing
		}{{&out[i].Best, p.First[i], p.Times[i]}, {&out[i].Second, p.Second[i], p.SecondTimes[i]}} {
			if one.place < -1 || int(one.place) >= len(p.Ways) {
				return nil, fmt.Errorf("it has no way %d", one.place)
			}
			if one.place >= 0 {
				w := &p.Ways[one.place]
				*one.to = routing.Best{Reached: true, ID: w.ID, Shape: w.Shape, Destination: w.Destination, Assets: w.Assets}
			}
			one.to.Total = one.total
		}
	}
	return out, nil
}
