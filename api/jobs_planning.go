package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"surgeonward/api/job"
	"surgeonward/api/planning"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/strictjson"
)

// The routes that take long questions.
const (
	coveragePath = "/v1/coverage"
	sitingPath   = "/v1/siting"
)

// The kinds of jobs.
const (
	kindCoverage = "coverage"
	kindSiting   = "siting"
)

// The schemas of questions, compiled when the first comes.
var (
	coverageSchema = sync.OnceValues(func() (*strictjson.Schema, error) { return compileSchema("/components/schemas/CoverageQuestion") })
	sitingSchema   = sync.OnceValues(func() (*strictjson.Schema, error) { return compileSchema("/components/schemas/SitingQuestion") })
)

// planned is what a job is kept with: the question as it came, the hour that stands in
// for what it leaves out, and the number of the region's version that it was asked of; 0: the
// region has none.
type planned struct {
	Now     time.Time       `json:"now"`
	Version int64           `json:"version,omitempty"`
	Body    json.RawMessage `json:"question"`
}

// planner makes the files of a question.
type planner func(ctx context.Context, r *region.Region, p planned, run planning.Run, progress job.Progress) ([]job.File, error)

// planners are what can be asked for as a job, by kind.
func planners(build string) map[string]planner {
	if build == "" {
		build = Build()
	}
	return map[string]planner{
		kindCoverage: func(ctx context.Context, r *region.Region, p planned, run planning.Run, progress job.Progress) ([]job.File, error) {
			q, err := decodeCoverage(p, r)
			if err != nil {
				return nil, err
			}
			return planning.Coverage(ctx, r, &q, build, run, progress)
		},
		kindSiting: func(ctx context.Context, r *region.Region, p planned, run planning.Run, progress job.Progress) ([]job.File, error) {
			q, err := decodeSiting(p, r)
			if err != nil {
				return nil, err
			}
			return planning.Siting(ctx, r, &q, build, run, progress)
		},
	}
}

// NewJobs opens the queue of jobs of a service that runs them itself. The jobs ask the region as it
// is when they begin; build is that of Config. Kinds and Now of the options are set here.
func NewJobs(source Source, build string, opts job.Options) (*job.Queue, []string, error) {
	opts.Kinds = map[string]job.Run{}
	for kind, ask := range planners(build) {
		opts.Kinds[kind] = planningJob(source, ask)
	}
	return job.Open(opts)
}

func planningJob(source Source, ask planner) job.Run {
	return func(ctx context.Context, request json.RawMessage, progress job.Progress) ([]job.File, error) {
		r := source.Region()
		if r == nil {
			return nil, &job.Fault{Detail: "no region is loaded: ask again shortly"}
		}
		var p planned
		if err := json.Unmarshal(request, &p); err != nil {
			return nil, err
		}
		files, err := ask(ctx, r, p, planning.Here, progress)
		return files, contradicted(err)
	}
}

// contradicted makes a question that the region does not allow any more a fault in words.
func contradicted(err error) error {
	var refused *wire.RequestError
	if errors.As(err, &refused) {
		return &job.Fault{Detail: "the region has changed so that the question contradicts it: " + refused.Error()}
	}
	return err
}

func decodeCoverage(p planned, r *region.Region) (wire.CoverageRequest, error) {
	schema, err := coverageSchema()
	if err != nil {
		return wire.CoverageRequest{}, err
	}
	q, err := wire.DecodeCoverage(schema, p.Body, r, p.Now)
	if err == nil {
		err = placesError(q.Places)
	}
	return q, err
}

func decodeSiting(p planned, r *region.Region) (wire.SitingRequest, error) {
	schema, err := sitingSchema()
	if err != nil {
		return wire.SitingRequest{}, err
	}
	q, err := wire.DecodeSiting(schema, p.Body, r, p.Now)
	if err == nil {
		err = placesError(q.Places)
	}
	if err == nil && q.GridM > 0 {
		cells, why := planning.GridCandidates(&q)
		q.Candidates = append(cells, q.Candidates...) // bases of assets that move come last
		if why == "" && q.Count > len(q.Candidates) && q.Objective != planning.MostPeopleBusy {
			why = fmt.Sprintf("a grid of %g m has %d candidates, fewer than are to be chosen: choose smaller cells", q.GridM, len(q.Candidates))
		}
		if why != "" {
			err = &wire.RequestError{Kind: wire.Content, Faults: []wire.Fault{{Pointer: "#/candidate_cell_m", Detail: why}}}
		}
	}
	return q, err
}

func placesError(p wire.Places) error {
	if why := planning.CheckPlaces(p); why != "" {
		return &wire.RequestError{Kind: wire.Content, Faults: []wire.Fault{{Pointer: "#/cell_m", Detail: why}}}
	}
	return nil
}

// submit answers POST /v1/coverage and POST /v1/siting.
func (s *service) submit(kind string) echo.HandlerFunc {
	return func(c echo.Context) error {
		q, err := s.queue()
		if err != nil {
			return err
		}
		if _, err := accepted(c, typeJSON); err != nil {
			return err
		}
		r, body, err := s.asked(c)
		if err != nil {
			return err
		}
		p := planned{Now: s.now().UTC(), Body: body}
		if s.live != nil {
			state := s.live.State()
			r, p.Version = state.Region, state.Version.Number
		}
		if kind == kindCoverage {
			_, err = decodeCoverage(p, r)
		} else {
			_, err = decodeSiting(p, r)
		}
		if err != nil {
			return err
		}
		request, err := json.Marshal(p)
		if err != nil {
			return err
		}
		j, err := q.Submit(c.Request().Context(), kind, whoOf(c).Name, request)
		if err != nil {
			return jobProblem(err)
		}
		return submitted(c, j)
	}
}
