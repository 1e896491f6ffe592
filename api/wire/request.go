package wire

import (
	"time"

	"surgeonward/api/region"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
)

// DefaultLimit is how many options an answer has when the question names no limit.
const DefaultLimit = 10

// The years a decision time may be in. Before and after, time zones and the
// position of the sun are not known.
const (
	FirstYear = 1970
	LastYear  = 2200
)

// Request is a question as it was understood, with what a person should know
// about how it was: something odd in the position text, a misspelt skill.
type Request struct {
	routing.Question
	Notes []string
}

// limits bound the JSON text of a question: each list it may hold has far
// fewer members than this, and nothing in it is nested deeper.
var limits = strictjson.Limits{Bytes: 256 << 10, Depth: 16, Values: 20_000}

// Decoder reads questions. It is safe for concurrent use.
type Decoder struct{ schema, reach, preAlert *strictjson.Schema }

// NewDecoder returns a decoder that checks questions, questions of reach, and
// questions for a pre-alert against JSON Schemas.
func NewDecoder(question, reach, preAlert *strictjson.Schema) *Decoder {
	return &Decoder{schema: question, reach: reach, preAlert: preAlert}
}

// Decode reads the body of POST /v1/options for a region. Now is the decision
// time of a question that names none.
// A *RequestError has every fault, those against the region included; where
// the region is all that a question contradicts, only the engine says so.
func (d *Decoder) Decode(body []byte, r *region.Region, now time.Time) (Request, error) {
	b, m, err := begin(d.schema, body, r)
	if err != nil {
		return Request{}, err
	}
	q := b.request(m, now)
	if err := b.refused(func() error { return r.Engine.Check(q.Question) }); err != nil {
		return Request{}, err
	}
	return q, nil
}

// begin checks a body against a schema and makes a builder for it, which holds
// the faults of its shape. Only a body that is no JSON is an error.
func begin(schema *strictjson.Schema, body []byte, r *region.Region) (*builder, member, error) {
	value, faults := schema.Check(body, limits)
	if len(faults) > 0 {
		var broken []strictjson.Fault
		if value, broken = strictjson.Parse(body, limits); len(broken) > 0 {
			return nil, member{}, &RequestError{Kind: Syntax, Faults: Pointers(faults)}
		}
	}
	return &builder{region: r, faults: faults}, member{value: value}, nil
}
