package api

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"surgeonward/api/record"
	"surgeonward/api/region"
	"surgeonward/api/wire"
)

// Replay is a recorded answer beside the same question answered again.
type Replay struct {
	Answer     []byte   // made again, as JSON
	Same       bool     // byte for byte
	Versions   []string // what of what it was made from is another than then, such as "fleet"
	Parameters string   // the first number of the model that is another; empty: none, or none was recorded
	Difference string   // the first place where the answers differ, their versions apart; empty: none
	Engine     string   // the build that made the recorded answer
}

// RecordedRegion loads the region that an answer was made from out of the
// record's data.
func RecordedRegion(rec *record.Record, reader *record.Reader) (*region.Region, error) {
	files := map[string][]byte{}
	for _, d := range rec.Data {
		if d.Name == parametersFile {
			continue
		}
		content, err := reader.Blob(d.Hash)
		if err != nil {
			return nil, fmt.Errorf("%s of answer %s: %w", d.Name, rec.ID, err)
		}
		files[d.Name] = content
	}
	r, report := region.FromFiles(files)
	var faults []error
	for _, f := range report.Faults {
		faults = append(faults, fmt.Errorf("the region of answer %s cannot be used by this program: %s", rec.ID, f))
	}
	return r, errors.Join(faults...)
}

// NewReplay asks a recorded question of a region again, by the same code that
// answers over HTTP, with the recorded clock and the recorded name of the build.
func NewReplay(ctx context.Context, rec *record.Record, r *region.Region, reader *record.Reader) (*Replay, error) {
	out := &Replay{Engine: rec.Versions["engine"]}
	decoder, err := NewDecoder()
	if err != nil {
		return nil, err
	}
	r = asStaleAsThen(r, rec.Answer)
	if out.Answer, err = answerAgain(ctx, rec, r, decoder); err != nil {
		return nil, fmt.Errorf("the question of answer %s cannot be asked again: %w", rec.ID, err)
	}
	if out.Same = bytes.Equal(out.Answer, rec.Answer); !out.Same {
		out.Difference = firstDifference(rec.Answer, out.Answer, "versions")
	}
	now := wire.VersionsOf(r, out.Engine)
	names := maps.Clone(now)
	maps.Copy(names, rec.Versions)
	for _, name := range slices.Sorted(maps.Keys(names)) {
		if now[name] != rec.Versions[name] {
			out.Versions = append(out.Versions, name)
		}
	}
	for _, d := range rec.Data {
		if d.Name != parametersFile {
			continue
		}
		before, err := reader.Blob(d.Hash)
		if err != nil {
			return nil, fmt.Errorf("%s of answer %s: %w", d.Name, rec.ID, err)
		}
		parameters, err := wire.JSON(wire.EncodeParameters(r))
		if err != nil {
			return nil, err
		}
		if !bytes.Equal(before, parameters) {
			out.Parameters = firstDifference(before, parameters, "hash")
		}
	}
	return out, nil
}

// asStaleAsThen is a region as sure as it was when an answer was made from it.
func asStaleAsThen(r *region.Region, answer []byte) *region.Region {
	var then struct {
		Region struct {
			StaleSince time.Time `json:"stale_since"`
		} `json:"region"`
	}
	if err := json.Unmarshal(answer, &then); err != nil || then.Region.StaleSince.IsZero() {
		return r
	}
	stale := *r
	stale.StaleSince = then.Region.StaleSince
	return &stale
}

func answerAgain(ctx context.Context, rec *record.Record, r *region.Region, decoder *wire.Decoder) ([]byte, error) {
	build := rec.Versions["engine"]
	switch rec.Asked {
	case askedOptions:
		q, err := decoder.Decode(rec.Request, r, rec.MadeAt)
		if err != nil {
			return nil, err
		}
		ans, err := r.Engine.Options(ctx, q.Question)
		if err != nil {
			return nil, err
		}
		return optionsText(&ans, &q, r, build)
	case askedReach:
		q, err := decoder.DecodeReach(rec.Request, r, rec.MadeAt)
		if err != nil {
			return nil, err
		}
		ans, err := r.Engine.Reach(ctx, q.Question, q.Reach)
		if err != nil {
			return nil, err
		}
		return reachText(&ans, &q, r, build)
	}
	return nil, fmt.Errorf("it was of %q, which this program does not answer: use the program that did", rec.Asked)
}
