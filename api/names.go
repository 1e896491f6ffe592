package api

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"surgeonward/api/record"
	"surgeonward/api/wire"
	"surgeonward/facilities/strictjson"
)

// otherOption is the choice of something that the answer did not offer.
const otherOption = "other"

// names are what a note of an answer may name. Any other word is refused: it
// could be about somebody.
type names struct{ options, activities []string }

// namesOf reads an answer of options, or of reach, whose options are assets.
func namesOf(rec *record.Record) (names, error) {
	type activities []struct {
		ID string `json:"id"`
	}
	type team struct {
		Asset      string     `json:"asset"`
		Activities activities `json:"activities"`
	}
	var answer struct {
		Options []struct {
			ID         string     `json:"id"`
			Activities activities `json:"activities"`
		} `json:"options"`
		Teams  []team `json:"teams"`
		Others []team `json:"others"`
	}
	if err := json.Unmarshal(rec.Answer, &answer); err != nil {
		return names{}, fmt.Errorf("the recorded answer cannot be read: %w", err)
	}
	out := names{activities: []string{record.WithSurgeon}}
	add := func(option string, steps activities) {
		out.options = append(out.options, option)
		for _, a := range steps {
			out.activities = append(out.activities, a.ID)
		}
	}
	for _, o := range answer.Options {
		add(o.ID, o.Activities)
	}
	for _, t := range slices.Concat(answer.Teams, answer.Others) {
		add(t.Asset, t.Activities)
	}
	return out, nil
}

// choice is what is wrong with the choice of an option; nil: nothing.
func (n *names) choice(option string) *wire.Fault {
	if option == otherOption || slices.Contains(n.options, option) {
		return nil
	}
	return &wire.Fault{Pointer: "#/option", Detail: "the answer has no option of this id" + meant(option, n.options) +
		"; " + otherOption + " stands for what it did not offer"}
}

// activity is what is wrong with the end of an activity; nil: nothing.
func (n *names) activity(what string) *wire.Fault {
	if slices.Contains(n.activities, what) {
		return nil
	}
	return &wire.Fault{Pointer: "#/what", Detail: "no option of the answer has an activity of this id" + meant(what, n.activities) +
		"; " + record.WithSurgeon + " stands for the end of each"}
}

func meant(word string, known []string) string {
	if nearest, ok := strictjson.Nearest(word, known); ok {
		return ": did you mean " + nearest + "?"
	}
	return ": GET the record lists them"
}

// How far from an answer's decision time what happened can be: a wrong day is
// found, a long way is not.
const (
	longestBefore = 24 * time.Hour
	longestAfter  = 7 * 24 * time.Hour
)

// near is what is wrong with a time at which something happened; nil: nothing.
func near(at, decision time.Time) *wire.Fault {
	if since := at.Sub(decision); since >= -longestBefore && since <= longestAfter {
		return nil
	}
	return &wire.Fault{Pointer: "#/at", Detail: fmt.Sprintf("is not within a day before and seven days after the decision time %s: check the date",
		decision.UTC().Format(time.RFC3339))}
}
