package wire

import (
	"time"

	"surgeonward/facilities/strictjson"
)

// Note is what is noted of a recorded answer: the option that was taken, or an
// activity that has ended.
type Note struct {
	Option string    // of a choice
	What   string    // of a fact: id of the activity
	At     time.Time // zero where the body names no time
}

// noteLimits bound the JSON text of a note, which holds two short texts.
var noteLimits = strictjson.Limits{Bytes: 4 << 10, Depth: 2, Values: 20}

// DecodeNote reads the body of POST /v1/records/{id}/choice or facts against
// its schema. A *RequestError has every fault.
func DecodeNote(schema *strictjson.Schema, body []byte) (Note, error) {
	value, faults := schema.Check(body, noteLimits)
	if len(faults) > 0 {
		if _, broken := strictjson.Parse(body, noteLimits); len(broken) > 0 {
			return Note{}, &RequestError{Kind: Syntax, Faults: Pointers(faults)}
		}
	}
	b, m := builder{faults: faults}, member{value: value}
	n := Note{Option: m.get("option").text(), What: m.get("what").text(), At: b.instant(m.get("at"))}
	if len(b.faults) > 0 {
		return Note{}, &RequestError{Kind: Content, Faults: Pointers(strictjson.Sort(b.faults))}
	}
	return n, nil
}
