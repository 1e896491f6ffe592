package strictjson

import (
	"errors"
	"fmt"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Check reads data and returns its value, or every fault it found in the order of
// [Sort]; value is nil when there is a fault. Objects are map[string]any, arrays
// []any and numbers float64.
//
// A text that is too large or breaks the syntax gives one fault, because what follows
// cannot be judged. Faults of single values (a name given twice, a number out of
// range) and of the schema come together.
func (s *Schema) Check(data []byte, lim Limits) (value any, faults []Fault) {
	value, faults, whole := parse(data, lim)
	if whole {
		faults = append(faults, s.judge(value, faults)...)
	}
	if len(faults) > 0 {
		return nil, Sort(faults)
	}
	return value, nil
}

// CheckValue checks a value that [Parse] or Check returned against the schema.
func (s *Schema) CheckValue(value any) []Fault {
	return Sort(s.judge(value, nil))
}

// Parse reads data as Check does, without a schema.
func Parse(data []byte, lim Limits) (value any, faults []Fault) {
	value, faults, _ = parse(data, lim)
	if len(faults) > 0 {
		return nil, Sort(faults)
	}
	return value, nil
}

// Stream reads data as [Parse] does, but hands the items of one array over as they
// are read and leaves that array empty in the value, so that a long list needs the
// memory of its longest item. The array is named by its pointer. An error from item
// ends the reading and becomes a fault at the array. Whole tells whether the text was
// read to its end; the faults are then those of single values.
//
// Item must not rely on the rest of the document: it may still turn out to be broken.
func Stream(data []byte, lim Limits, array string, item func(i int, value any) error) (value any, faults []Fault, whole bool) {
	r := &reader{data: data, lim: lim.orDefault(), stream: array, item: item}
	value, whole = r.document()
	return value, Sort(r.faults), whole
}

// judge applies the schema. A value that already has a fault is not judged again:
// what stands in its place is not what the file says.
func (s *Schema) judge(value any, known []Fault) []Fault {
	err := s.root.Validate(value)
	if err == nil {
		return nil
	}
	var ve *jsonschema.ValidationError
	if !errors.As(err, &ve) {
		return []Fault{{Detail: fmt.Sprintf("the document cannot be judged: %v", err)}}
	}
	c := collector{schema: s, document: value}
	faults := c.collect(ve)
	if len(known) == 0 {
		return faults
	}
	bad := map[string]bool{}
	for _, f := range known {
		bad[f.Pointer] = true
	}
	kept := faults[:0]
	for _, f := range faults {
		if !bad[f.Pointer] {
			kept = append(kept, f)
		}
	}
	return kept
}
