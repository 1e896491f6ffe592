package planning

import (
	"context"
	"errors"
	"fmt"

	"surgeonward/routing/coverage"
)

// TileLooks is how many looks at a cell a tile has at most: a second or two of work for a
// processor, so that to begin one anew costs little and the last to be done is not waited for
// long. A job of MaxLooks has some 2,000 tiles.
const TileLooks = 500

// Tile is a range of the cells of one of a question's plans.
type Tile struct {
	Plan int `json:"plan"`
	From int `json:"from"`
	To   int `json:"to"` // the first cell that is not in it
}

// errPlans ends a question once its plans are known.
var errPlans = errors.New("the plans are known")

// Plans are what a question asks of the engine first: the plans of its first call of Run. What it
// makes of them afterwards is not among them.
func Plans(ask func(Run) error) (plans []coverage.Plan, err error) {
	err = ask(func(_ context.Context, first []coverage.Plan, _ func(int, *coverage.Result) error) error {
		plans = first
		return errPlans
	})
	if errors.Is(err, errPlans) {
		err = nil
	}
	return plans, err
}

// Tiles cuts plans into tiles, in the order of the plans and of their cells.
func Tiles(plans []coverage.Plan) (out []Tile) {
	for i := range plans {
		cells, size := len(plans[i].Demand.Cells), TileLooks/looksOf(&plans[i])
		for from := 0; from < cells; from += size {
			out = append(out, Tile{i, from, min(from+size, cells)})
		}
	}
	return out
}

// Looks is how often a tile of the plans looks at a cell.
func (t Tile) Looks(plans []coverage.Plan) int { return (t.To - t.From) * looksOf(&plans[t.Plan]) }

func looksOf(p *coverage.Plan) int {
	if p.Second {
		return 2
	}
	return 1
}

// Look is what the engine says of a tile's cells, for [Joined]. The same tile of the same
// plans has the same bytes.
func (t Tile) Look(ctx context.Context, plans []coverage.Plan) ([]byte, error) {
	if t.Plan < 0 || t.Plan >= len(plans) {
		return nil, fmt.Errorf("there is no plan %d among %d", t.Plan, len(plans))
	}
	plan, err := plans[t.Plan].Slice(t.From, t.To)
	if err != nil {
		return nil, err
	}
	plan.Progress = nil
	r, err := coverage.Run(ctx, plan)
	if err != nil {
		return nil, refused(err)
	}
	return packOutcomes(r.Outcomes)
}

// Joined is a Run whose first call takes what was made of the tiles of its plans, and whose
// other calls run here. Done is what Look gave for a tile, by its place.
func Joined(tiles []Tile, done func(tile int) ([]byte, error)) Run {
	called := false
	return func(ctx context.Context, plans []coverage.Plan, each func(int, *coverage.Result) error) error {
		if called {
			return Here(ctx, plans, each)
		}
		called = true
		next := 0
		for i := range plans {
			var outcomes []coverage.Outcome
			for ; next < len(tiles) && tiles[next].Plan == i; next++ {
				if err := ctx.Err(); err != nil {
					return err
				}
				t := tiles[next]
				content, err := done(next)
				if err != nil {
					return err
				}
				some, err := unpackOutcomes(content, t.To-t.From)
				if err != nil {
					return fmt.Errorf("tile %d: %w", next, err)
				}
				outcomes = append(outcomes, some...)
			}
			r, err := coverage.Join(plans[i], outcomes)
			if err != nil {
				return fmt.Errorf("plan %d: %w", i, err)
			}
			if err := each(i, r); err != nil {
				return err
			}
		}
		if next != len(tiles) {
			return fmt.Errorf("%d tiles are of no plan", len(tiles)-next)
		}
		return nil
	}
}
