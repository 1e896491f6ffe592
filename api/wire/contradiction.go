package wire

import (
	"errors"
	"strings"

	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
)

// enough is how many faults a caller has to correct before it is worth looking
// for more.
const enough = 50

// all returns the faults found so far with those that only the region can see,
// in order, so that a caller corrects everything at once. The question is as
// far as it could be read: what the region says of places that are at fault
// already, or that may be wrong only because of them, is left out.
func (b *builder) all(q *Request) []strictjson.Fault {
	return b.with(func() error { return b.region.Engine.Check(q.Question) })
}

// refused is the error of a question in which something is at fault already,
// with what a check of the engine finds beside it; nil: nothing is.
func (b *builder) refused(check func() error) error {
	if len(b.faults) == 0 {
		return nil
	}
	return &RequestError{Kind: Content, Faults: Pointers(b.with(check))}
}

// with is all for what a check of the engine finds.
func (b *builder) with(check func() error) []strictjson.Fault {
	if len(b.faults) > enough {
		return strictjson.Sort(b.faults)
	}
	known := b.faults
	var contradiction *routing.QuestionError
	if errors.As(check(), &contradiction) {
		for _, f := range contradiction.Faults {
			if !doubtful(f.Pointer, known) {
				b.faults = append(b.faults, f)
			}
		}
	}
	return strictjson.Sort(b.faults)
}

// doubtful reports whether a fault at a pointer may only repeat, or follow
// from, one that is known: one at the same place or inside it. An asset that
// could not be read makes all that is said of assets doubtful, a decision time
// that could not be read all that must come before it, and a fact that is not
// whole all that is said of it.
func doubtful(pointer string, known []strictjson.Fault) bool {
	for _, k := range known {
		if pointer == k.Pointer || strings.HasPrefix(k.Pointer, pointer+"/") {
			return true
		}
		switch happened := strings.HasPrefix(pointer, "/happened/"); {
		case strings.HasPrefix(k.Pointer, "/assets/add") && (happened || strings.HasPrefix(pointer, "/assets/")),
			k.Pointer == "/at" && strings.HasSuffix(pointer, "at") && (happened || strings.HasPrefix(pointer, "/output_")),
			strings.HasPrefix(k.Pointer, "/happened/") && strings.HasPrefix(pointer, k.Pointer+"/"):
			return true
		}
	}
	return false
}
