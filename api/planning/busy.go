package planning

import (
	"context"
	"errors"
	"math"

	"surgeonward/api/job"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// Busy is how busy assets are with the calls that were given, and what to expect then; over
// several situations by their shares.
type Busy struct {
	Shares      []BusyShare `json:"shares"`
	Method      string      `json:"method"`
	ErrorNote   string      `json:"error_note"`
	Assumptions []string    `json:"assumptions"`
	CallsPerDay float64     `json:"calls_per_day"`
	Unanswered  float64     `json:"unanswered_share"` // of the calls
	Reached     Band        `json:"reached"`
	Within      []Band      `json:"within"` // expected
	MeanS       *float64    `json:"mean_s"`
}

// BusyShare is one asset that is sent somewhere.
type BusyShare struct {
	Asset       string  `json:"asset"`
	Name        string  `json:"name"`
	BusyShare   float64 `json:"busy_share"` // of the time
	CallsPerDay float64 `json:"calls_per_day"`
	ServiceS    float64 `json:"service_s"` // mean time that a call takes it
}

// busyOf is the figures of all situations; nil where none was asked for.
func busyOf(all []*coverage.Busy, name func(id string) string) (*Busy, error) {
	if len(all) == 0 {
		return nil, nil
	}
	b := all[0]
	if len(all) > 1 {
		var err error
		if b, err = coverage.ExpectBusy(all); err != nil {
			return nil, &job.Fault{Detail: err.Error()}
		}
	}
	out := &Busy{
		Shares: []BusyShare{}, Method: b.Method(), ErrorNote: b.ErrorNote(), Assumptions: b.Assumptions(), CallsPerDay: b.Calls.PerDay,
		Unanswered: millionth(b.Unanswered()), Reached: bandOf(b.Expected.Reached), Within: bandsOf(b.Expected.Bands), MeanS: whole(b.Expected.MeanS),
	}
	for _, u := range b.Units {
		out.Shares = append(out.Shares, BusyShare{u.Asset, name(u.Asset), millionth(u.Share), thousandth(u.PerDay), math.Round(u.ServiceS)})
	}
	return out, nil
}

func millionth(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// busyFault makes what the queueing model cannot take a fault in words.
func busyFault(err error) error {
	var question *routing.QuestionError
	if errors.As(err, &question) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return &job.Fault{Detail: err.Error()}
}
