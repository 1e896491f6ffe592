package routing

import (
	"context"
	"errors"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
)

// Batch is one question about many scenes. What does not depend on the scene is
// worked out once: the fleet and its states, the hospitals' side, the weather, the
// ways by road from the bases. Every answer is that of Engine.Best for the same
// question at the scene, to the last bit. A Batch serves any number of goroutines.
type Batch struct {
	p      *problem // without a scene
	each   bool     // the question has something that depends on the scene: nothing is shared
	shared *prepared

	once   sync.Once
	bounds *floors
	cells  sync.Pool // of *cell
}

// Batch prepares a question for many scenes. The position of its scene counts for
// nothing. A transfer is about one place and is refused; every other fault is
// that of Options, a *QuestionError with all of them.
func (e *Engine) Batch(q Question) (*Batch, error) {
	q.Scene.Position = orb.Point{}
	var faults []strictjson.Fault
	if q.Scene.Facility != "" {
		faults = append(faults, strictjson.Fault{Pointer: "/scene/facility", Detail: "a transfer is about one scene and not about many: leave it out"})
		q.Scene.Facility = ""
	}
	q.Patient.Needs = slices.Clone(q.Patient.Needs) // the check completes them
	p, _, err := e.problem(q)
	if err != nil {
		if bad := (*QuestionError)(nil); errors.As(err, &bad) {
			return nil, &QuestionError{Faults: slices.Concat(faults, bad.Faults)}
		}
		return nil, err
	}
	if len(faults) > 0 {
		return nil, &QuestionError{Faults: faults}
	}
	p.needs()
	b := &Batch{p: p, shared: &prepared{units: p.units(), to: p.destinations(p.wants), places: p.meetingPlaces()}}
	b.shared.teams = teamsOf(b.shared.to)
	p.fast, p.weather.Plain = p.newFastest(), true
	p.pads = map[*facilities.Facility]place{}
	for i := range b.shared.to {
		if f := b.shared.to[i].Facility; f.Pad != nil {
			p.pads[f] = padPlace(f)
		}
	}
	b.each = len(p.Facts) > 0 || slices.ContainsFunc(b.shared.units, func(u unit) bool { return u.State == AtScene })
	return b, nil
}

// Question is what is asked, with its defaults filled in.
func (b *Batch) Question() Question { return b.p.Question }

// Best answers for one scene.
func (b *Batch) Best(ctx context.Context, scene orb.Point) (Best, error) {
	return b.ask(ctx, scene, false)
}

// Typical is Best without the slow total, which is 0, in a part of the time.
func (b *Batch) Typical(ctx context.Context, scene orb.Point) (Best, error) {
	best, err := b.ask(ctx, scene, true)
	best.Total.SlowS = 0
	return best, err
}

func (b *Batch) ask(ctx context.Context, scene orb.Point, typicalOnly bool) (Best, error) {
	if err := geo.Check(scene); err != nil {
		return Best{}, &QuestionError{Faults: []strictjson.Fault{{Pointer: "/scene/position", Detail: err.Error()}}}
	}
	if b.each {
		q := b.p.Question
		q.Scene.Position = scene
		return b.p.Engine.Best(ctx, q)
	}
	c, ok := b.cells.Get().(*cell)
	if !ok {
		c = b.newCell()
	}
	defer b.cells.Put(c)
	return c.best(ctx, scene, typicalOnly)
}

// floors are worked out when a scene is first asked for: many batches only check
// their question.
func (b *Batch) floors() *floors {
	b.once.Do(func() { b.bounds = b.p.floors(b.shared) })
	return b.bounds
}

// Without is the same batch with an asset committed, nobody knowing until when.
func (b *Batch) Without(asset string) (*Batch, error) {
	q := b.p.Question
	q.Assets.States = slices.DeleteFunc(slices.Clone(q.Assets.States), func(s StateChange) bool { return s.Asset == asset })
	q.Facts = slices.DeleteFunc(slices.Clone(q.Facts), func(f Fact) bool { return f.Asset == asset })
	q.Assets.States = append(q.Assets.States, StateChange{Asset: asset, State: Committed})
	return b.p.Engine.Batch(q)
}
