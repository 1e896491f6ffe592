package record

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"time"
)

// offers are the members of the interface's answer that a review needs.
type offers struct {
	Region struct {
		Name          string `json:"name"`
		Demonstration bool   `json:"demonstration"`
	} `json:"region"`
	Options []option `json:"options"`
}

type option struct {
	ID    string `json:"id"`
	Rank  int    `json:"rank"`
	Total struct {
		TypicalS float64 `json:"typical_s"`
		SlowS    float64 `json:"slow_s"`
	} `json:"total"`
	WithSurgeonAt time.Time `json:"with_surgeon_at"`
	Activities    []struct {
		ID   string  `json:"id"`
		EndS float64 `json:"end_s"`
	} `json:"activities"`
}

// caseRecords are an answer's records while they come in.
type caseRecords struct {
	blank  Row
	offers offers
	choice Record
	facts  map[string]Record
}

func newCase(rec *Record) *caseRecords {
	c := &caseRecords{blank: Row{ID: rec.ID, Asked: rec.Asked, MadeAt: rec.MadeAt, At: rec.At}, facts: map[string]Record{}}
	if err := json.Unmarshal(rec.Answer, &c.offers); err != nil {
		c.offers = offers{}
		c.blank.Note = fmt.Sprintf("the answer cannot be read: %s", err)
	}
	return c
}

func (c *caseRecords) note(rec *Record) {
	switch rec.Kind {
	case KindChoice:
		c.choice = *rec
	case KindFact:
		c.facts[rec.What] = *rec
	}
}

// mostOffered is how many options a row lists: as many as fit a page.
const mostOffered = 3

func (c *caseRecords) row() Row {
	row := c.blank
	row.Region, row.Invented = c.offers.Region.Name, c.offers.Region.Demonstration
	row.Options = len(c.offers.Options)
	for i := range c.offers.Options[:min(row.Options, mostOffered)] {
		o := &c.offers.Options[i]
		row.Offered = append(row.Offered, Offer{o.ID, o.Total.TypicalS, o.Total.SlowS, o.WithSurgeonAt})
	}
	row.Chosen, row.ChosenAt = c.choice.Option, c.choice.At
	var taken *option
	if i := slices.IndexFunc(c.offers.Options, func(o option) bool { return o.ID == row.Chosen }); i >= 0 && row.Chosen != "" {
		taken = &c.offers.Options[i]
		row.Rank = cmp.Or(taken.Rank, i+1)
		row.Predicted = cmp.Or(taken.WithSurgeonAt, after(row.At, taken.Total.TypicalS))
		row.PredictedSlow = after(row.At, taken.Total.SlowS)
	}
	for _, f := range c.facts {
		row.Facts = append(row.Facts, compare(row.At, taken, &f))
	}
	slices.SortFunc(row.Facts, func(a, b Happened) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.What, b.What)) })
	return row
}

// compare sets a fact beside what the chosen option, if any, predicted.
func compare(at time.Time, taken *option, fact *Record) Happened {
	h := Happened{What: fact.What, At: fact.At}
	if taken == nil {
		return h
	}
	for _, a := range taken.Activities {
		if a.ID == fact.What {
			h.Predicted = after(at, a.EndS)
		}
	}
	if h.Predicted.IsZero() && fact.What == WithSurgeon {
		h.Predicted = taken.WithSurgeonAt
	}
	if !h.Predicted.IsZero() {
		h.DifferenceS = int64(math.Round(h.At.Sub(h.Predicted).Seconds()))
	}
	return h
}

// after adds seconds; zero where there are none to add that make sense.
func after(at time.Time, seconds float64) time.Time {
	const longest = 366 * 24 * 3600
	if !(seconds >= 0 && seconds <= longest) {
		return time.Time{}
	}
	return at.Add(time.Duration(math.Round(seconds * 1e9)))
}
