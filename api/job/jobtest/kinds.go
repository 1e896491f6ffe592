// Package jobtest has the promises of a queue of jobs as one suite of tests, which every queue
// runs.
package jobtest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"surgeonward/api/job"
)

// Kinds are jobs of tests: echo gives its request back, held waits to be let go, and the
// rest fail in their ways.
func Kinds(held chan struct{}) map[string]job.Run {
	return map[string]job.Run{
		"echo": func(_ context.Context, request json.RawMessage, progress job.Progress) ([]job.File, error) {
			progress(1, 2, "half way")
			return []job.File{{Name: "echo.json", Media: "application/json", Content: request}}, nil
		},
		"held": func(ctx context.Context, request json.RawMessage, _ job.Progress) ([]job.File, error) {
			select {
			case <-held:
				return []job.File{{Name: "held.json", Content: request}}, nil
			case <-ctx.Done():
				return nil, ctx.Err()
			}
		},
		"steps": func(ctx context.Context, _ json.RawMessage, progress job.Progress) ([]job.File, error) {
			for i := range 4 {
				progress(i, 4, fmt.Sprintf("step %d", i))
				select {
				case held <- struct{}{}:
				case <-ctx.Done():
					return nil, ctx.Err()
				}
			}
			return nil, nil
		},
		"fault": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return nil, &job.Fault{Detail: "there is no base: add one"}
		},
		"broken": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return nil, errors.New("secret of the house")
		},
		"panic": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			panic("secret of the caller")
		},
		"large": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return []job.File{{Name: "large", Content: make([]byte, 2000)}}, nil
		},
		"climbs": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return []job.File{{Name: "../../out.txt", Content: []byte("x")}}, nil
		},
		"twice": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return []job.File{{Name: "a"}, {Name: "a"}}, nil
		},
	}
}
