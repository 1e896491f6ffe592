package wire

import (
	"time"

	"surgeonward/api/record"
)

// Review is the JSON form of a case review.
type Review struct {
	Cases      []Case         `json:"cases"`
	Next       string         `json:"next,omitempty"` // the case after which the next page begins
	Unreadable int            `json:"unreadable"`     // records that could not be read
	Summary    *ReviewSummary `json:"summary,omitempty"`
}

// Case is one answer in a review: what was offered, what was chosen, and what
// was predicted of it beside what happened.
type Case struct {
	ID              string     `json:"id"`
	Region          string     `json:"region"`
	Demonstration   bool       `json:"demonstration"`
	Asked           string     `json:"asked"`
	MadeAt          string     `json:"made_at"`
	At              string     `json:"at"`
	Options         int        `json:"options"`
	Offered         []Offer    `json:"offered"`
	Chosen          string     `json:"chosen,omitempty"`
	ChosenAt        string     `json:"chosen_at,omitempty"`
	Rank            int        `json:"rank,omitempty"`
	PredictedAt     string     `json:"predicted_at,omitempty"`
	PredictedSlowAt string     `json:"predicted_slow_at,omitempty"`
	Happened        []Happened `json:"happened"`
	Note            string     `json:"note,omitempty"`
}

// Offer is one of the first options of an answer.
type Offer struct {
	Option        string   `json:"option"`
	Total         Duration `json:"total"`
	WithSurgeonAt string   `json:"with_surgeon_at"`
}

// Happened is an activity that ended, beside its prediction.
type Happened struct {
	What        string `json:"what"`
	At          string `json:"at"`
	PredictedAt string `json:"predicted_at,omitempty"`
	DifferenceS *int64 `json:"difference_s,omitempty"` // positive: later than predicted
}

// ReviewSummary is what the cases say together.
type ReviewSummary struct {
	Cases             int      `json:"cases"`
	Chosen            int      `json:"chosen"`
	Arrived           int      `json:"arrived"`
	MedianDifferenceS *float64 `json:"median_difference_s,omitempty"` // none where nobody arrived
	WithinSlow        int      `json:"within_slow"`
	ShareWithinSlow   *float64 `json:"share_within_slow,omitempty"` // none where nobody arrived
}

// EncodeReview makes the JSON form of the rows of a review.
func EncodeReview(rows []record.Row, unreadable int) (Review, error) {
	var n rounder
	out := Review{Cases: make([]Case, len(rows)), Unreadable: unreadable}
	for i := range rows {
		out.Cases[i] = n.reviewed(&rows[i])
	}
	return out, n.err
}

func (n *rounder) reviewed(r *record.Row) Case {
	c := Case{
		ID: r.ID, Region: r.Region, Demonstration: r.Invented, Asked: r.Asked, MadeAt: utc(r.MadeAt), At: utc(r.At),
		Options: r.Options, Offered: make([]Offer, len(r.Offered)), Chosen: r.Chosen, ChosenAt: utcOrNone(r.ChosenAt), Rank: r.Rank,
		PredictedAt: utcOrNone(r.Predicted), PredictedSlowAt: utcOrNone(r.PredictedSlow), Happened: make([]Happened, len(r.Facts)), Note: r.Note,
	}
	for i, o := range r.Offered {
		c.Offered[i] = Offer{o.Option, Duration{n.whole(o.TypicalS), n.whole(o.SlowS)}, utc(o.WithSurgeonAt)}
	}
	for i, h := range r.Facts {
		c.Happened[i] = Happened{What: h.What, At: utc(h.At), PredictedAt: utcOrNone(h.Predicted)}
		if !h.Predicted.IsZero() {
			c.Happened[i].DifferenceS = &h.DifferenceS
		}
	}
	return c
}

// utcOrNone is a time, or nothing where there is none.
func utcOrNone(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return utc(t)
}

// EncodeSummary makes the JSON form of a summary.
func EncodeSummary(s record.Summary) *ReviewSummary {
	out := &ReviewSummary{Cases: s.Answers, Chosen: s.Chosen, Arrived: s.Arrived, WithinSlow: s.WithinSlow}
	if s.Arrived > 0 {
		var n rounder
		share := n.share(s.Share())
		out.MedianDifferenceS, out.ShareWithinSlow = &s.MedianS, &share
	}
	return out
}

// Unreadable counts the errors that record.Table and record.Reader.Case join.
func Unreadable(err error) int {
	if err == nil {
		return 0
	}
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		return len(many.Unwrap())
	}
	return 1
}
