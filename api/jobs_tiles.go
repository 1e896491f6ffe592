package api

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"sync"

	"surgeonward/api/job"
	"surgeonward/api/job/postgres"
	"surgeonward/api/planning"
	"surgeonward/api/region"
	"surgeonward/facilities/store"
	"surgeonward/routing/coverage"
)

// Versions is where a region is kept with every version that it had.
type Versions interface {
	At(ctx context.Context, number int64) (*store.Version, error)
}

// ShareJobs joins the queue of jobs that the services and workers on one database share, and
// works for it. A job asks the version of the region that was the newest when it was asked
// for, on whatever machine it runs. Kinds and Parts of the options are set here.
func ShareJobs(ctx context.Context, versions Versions, address, build string, opts postgres.Options) (*postgres.Queue, error) {
	if build == "" {
		build = Build()
	}
	opts.Parts = map[string]job.Parts{}
	for kind, ask := range planners(build) {
		opts.Parts[kind] = &tiled{versions: versions, build: build, ask: ask}
	}
	return postgres.Open(ctx, address, opts)
}

// tiled is a kind of question whose runs of the engine are shared out by tiles of cells.
type tiled struct {
	versions Versions
	build    string
	ask      planner
	loader   region.Loader

	mu     sync.Mutex
	latest *prepared // of the question that was asked last: its next tile is as a rule the next
}

// prepared is a question that has been read.
type prepared struct {
	key    [sha256.Size]byte
	region *region.Region
	asked  planned
	plans  []coverage.Plan
}

// tileSpec is what a part of a job is kept with. Programs of two builds may not agree on the tiles
// of a question or on a time, so that a job is done by one.
type tileSpec struct {
	planning.Tile
	Build string `json:"build"`
}

func (t *tiled) prepare(ctx context.Context, request json.RawMessage) (*prepared, error) {
	key := sha256.Sum256(request)
	t.mu.Lock()
	latest := t.latest
	t.mu.Unlock()
	if latest != nil && latest.key == key {
		return latest, nil
	}
	p := &prepared{key: key}
	if err := json.Unmarshal(request, &p.asked); err != nil {
		return nil, err
	}
	var err error
	if p.region, err = t.region(ctx, p.asked.Version); err != nil {
		return nil, err
	}
	p.plans, err = planning.Plans(func(run planning.Run) error {
		_, err := t.ask(ctx, p.region, p.asked, run, func(int, int, string) {})
		return contradicted(err)
	})
	if err != nil {
		return nil, err
	}
	t.mu.Lock()
	t.latest = p
	t.mu.Unlock()
	return p, nil
}

// region is a version of the region.
func (t *tiled) region(ctx context.Context, number int64) (*region.Region, error) {
	v, err := t.versions.At(ctx, number)
	if errors.Is(err, store.ErrNotFound) {
		return nil, &job.Fault{Detail: fmt.Sprintf("the worker finds no version %d of the region, of which this was asked: ask again", number)}
	}
	if err != nil {
		return nil, err
	}
	r, report := t.loader.Load(v.Content)
	if r == nil {
		return nil, &job.Fault{Detail: fmt.Sprintf("the worker cannot use version %d of the region, of which this was asked: it has %d faults, by the rules of its program; use the same program everywhere", number, len(report.Faults))}
	}
	return r, nil
}

// Split cuts the question into tiles.
func (t *tiled) Split(ctx context.Context, request json.RawMessage) ([]job.Part, error) {
	p, err := t.prepare(ctx, request)
	if err != nil {
		return nil, err
	}
	var out []job.Part
	for _, tile := range planning.Tiles(p.plans) {
		spec, err := json.Marshal(tileSpec{tile, t.build})
		if err != nil {
			return nil, err
		}
		out = append(out, job.Part{Spec: spec, Looks: tile.Looks(p.plans)})
	}
	return out, nil
}

// Work looks at the cells of a tile.
func (t *tiled) Work(ctx context.Context, request, part json.RawMessage) ([]byte, error) {
	tile, err := t.tile(part)
	if err != nil {
		return nil, err
	}
	p, err := t.prepare(ctx, request)
	if err != nil {
		return nil, err
	}
	return tile.Look(ctx, p.plans)
}

func (t *tiled) tile(part json.RawMessage) (planning.Tile, error) {
	var spec tileSpec
	if err := json.Unmarshal(part, &spec); err != nil {
		return spec.Tile, err
	}
	if spec.Build != t.build {
		return spec.Tile, job.ErrElsewhere
	}
	return spec.Tile, nil
}

// Join makes the files of the tiles.
func (t *tiled) Join(ctx context.Context, request json.RawMessage, parts []job.Part, done func(int) ([]byte, error), progress job.Progress) ([]job.File, error) {
	var tiles []planning.Tile
	for _, part := range parts {
		tile, err := t.tile(part.Spec)
		if err != nil {
			return nil, err
		}
		tiles = append(tiles, tile)
	}
	p, err := t.prepare(ctx, request)
	if err != nil {
		return nil, err
	}
	run := planning.Run(planning.Here)
	if len(tiles) > 0 {
		run = planning.Joined(tiles, done)
	}
	files, err := t.ask(ctx, p.region, p.asked, run, progress)
	return files, contradicted(err)
}
