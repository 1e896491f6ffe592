package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"surgeonward/api/region"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing/coverage"
)

// maxSituations bounds the work on one mix.
const maxSituations = 100

// mix runs every situation of the file and what to expect of them.
func (c *coverageCommand) mix(ctx context.Context, p *program, r *region.Region, d *coverage.Demand, page *terminal.CoveragePage) error {
	situations, err := readMix(c.Mix, r, time.Now())
	if err != nil {
		return err
	}
	var busy []*coverage.Busy
	for i, s := range situations {
		what := fmt.Sprintf("situation %d of %d", i+1, len(situations))
		result, err := coverage.Run(ctx, coverage.Plan{Engine: r.Engine, Demand: d, Situation: s, Second: c.Second, Progress: p.progress(c.Quiet, what)})
		if err != nil {
			return err
		}
		page.Results, page.Shares = append(page.Results, result), append(page.Shares, s.Share)
		b, err := c.busy(ctx, r, coverage.Plan{Engine: r.Engine, Demand: d, Situation: s, Progress: p.progress(c.Quiet, what+", with assets away")}, result)
		if err != nil {
			return err
		}
		if b != nil {
			busy = append(busy, b)
		}
	}
	if len(busy) > 0 {
		if page.Busy, err = coverage.ExpectBusy(busy); err != nil {
			return err
		}
	}
	page.Expected, err = coverage.Expect(page.Results, page.Shares)
	return err
}

// readMix reads {"situations": [{"name", "share", "question"}]}, where a question is
// the body of a POST /v1/options without a place.
func readMix(name string, r *region.Region, now time.Time) (out []coverage.Situation, err error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	var lines faultsError
	fault := func(at, detail string) { lines = append(lines, fmt.Sprintf("%s: %s: %s", name, at, detail)) }
	value, bad := strictjson.Parse(data, strictjson.Limits{Bytes: maxRequest})
	for _, f := range bad {
		fault("#"+f.Pointer, f.Detail)
	}
	file, _ := value.(map[string]any)
	list, ok := file["situations"].([]any)
	if len(bad) == 0 && (!ok || len(list) == 0 || len(list) > maxSituations) {
		fault("#/situations", fmt.Sprintf("must be a list of 1 to %d situations", maxSituations))
	}
	for i, item := range list[:min(len(list), maxSituations)] {
		at := fmt.Sprintf("#/situations/%d", i)
		s, _ := item.(map[string]any)
		for member := range s {
			if member != "name" && member != "share" && member != "question" {
				fault(at+"/"+member, "is not known: a situation has name, share and question")
			}
		}
		title, named := s["name"].(string)
		share, shared := s["share"].(float64)
		question, asked := s["question"].(map[string]any)
		switch {
		case !named || title == "":
			fault(at+"/name", "must be a text")
			continue
		case !shared || !(share > 0 && share <= 1e9):
			fault(at+"/share", "must be a number over 0: hours, days or a share")
			continue
		case !asked || question["at"] == nil:
			fault(at+"/question", "must be an object with the hour in at")
			continue
		}
		q, err := decodeSituation(question, r, now)
		for _, f := range requestFaults(err) {
			fault(at+"/question"+f.Pointer[min(len(f.Pointer), 1):], f.Detail)
		}
		if err != nil && requestFaults(err) == nil {
			fault(at+"/question", err.Error())
		}
		out = append(out, coverage.Situation{Name: title, Share: share, Question: q})
	}
	if lines != nil {
		return nil, lines
	}
	if len(out) == 0 {
		return nil, errors.New(name + " has no situation")
	}
	return out, nil
}
