package strictjson

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/santhosh-tekuri/jsonschema/v6/kind"
)

// branches turns the failures of all alternatives of anyOf or oneOf into the faults
// a person can act on: those of the alternative that was most likely meant. When the
// alternatives differ in what they allow at one place, it lists what is allowed there.
func (c *collector) branches(e *jsonschema.ValidationError) []Fault {
	if f, ok := c.mergeTypes(e); ok {
		return []Fault{f}
	}
	if f, ok := c.mergeWords(e); ok {
		return []Fault{f}
	}
	if f, ok := c.mergeRequired(e); ok {
		return []Fault{f}
	}
	var likely []Fault
	best := [2]int{math.MaxInt, math.MaxInt}
	for _, branch := range e.Causes { // among equals the one the schema states first
		faults := c.collect(branch)
		rank := [2]int{mismatch(branch, len(e.InstanceLocation)), len(faults)}
		if slices.Compare(rank[:], best[:]) < 0 {
			likely, best = faults, rank
		}
	}
	return likely
}

// leaves lists the errors below e that are not mere containers of others.
func leaves(e *jsonschema.ValidationError) []*jsonschema.ValidationError {
	switch e.ErrorKind.(type) {
	case *kind.Schema, *kind.Group, *kind.Reference, *kind.AllOf:
		var out []*jsonschema.ValidationError
		for _, cause := range e.Causes {
			out = append(out, leaves(cause)...)
		}
		return out
	}
	return []*jsonschema.ValidationError{e}
}

// mismatch says how plainly an alternative was not the one meant: 3 when the value
// itself has another type or word, 2 when a field directly in it has another fixed word
// (such as a "kind"), 1 when such a field has none of several words, 0 otherwise.
func mismatch(branch *jsonschema.ValidationError, depth int) int {
	worst := 0
	for _, leaf := range leaves(branch) {
		below := len(leaf.InstanceLocation) - depth
		switch leaf.ErrorKind.(type) {
		case *kind.Type:
			if below == 0 {
				worst = max(worst, 3)
			}
		case *kind.Const:
			if below <= 1 {
				worst = max(worst, 3-below)
			}
		case *kind.Enum:
			if below <= 1 {
				worst = max(worst, 3-2*below)
			}
		}
	}
	return worst
}

// mergeTypes handles alternatives that all fail by the type of the value itself.
func (c *collector) mergeTypes(e *jsonschema.ValidationError) (Fault, bool) {
	merged := &kind.Type{}
	for _, branch := range e.Causes {
		all := leaves(branch)
		if len(all) != 1 || len(all[0].InstanceLocation) != len(e.InstanceLocation) {
			return Fault{}, false
		}
		k, ok := all[0].ErrorKind.(*kind.Type)
		if !ok {
			return Fault{}, false
		}
		merged.Got = k.Got
		for _, want := range k.Want {
			if !slices.Contains(merged.Want, want) {
				merged.Want = append(merged.Want, want)
			}
		}
	}
	return at(e.InstanceLocation, c.typeSentence(e.InstanceLocation, merged)), len(e.Causes) > 0
}

// mergeWords handles alternatives that each fix a word at one and the same place: the
// value itself or a field directly in it.
func (c *collector) mergeWords(e *jsonschema.ValidationError) (Fault, bool) {
	var place []string
	var want []any
	var got any
	for i, branch := range e.Causes {
		fixed := fixedWord(branch, len(e.InstanceLocation))
		if fixed == nil || (i > 0 && !slices.Equal(place, fixed.InstanceLocation)) {
			return Fault{}, false
		}
		place = fixed.InstanceLocation
		switch k := fixed.ErrorKind.(type) {
		case *kind.Const:
			got, want = k.Got, append(want, k.Want)
		case *kind.Enum:
			got, want = k.Got, append(want, k.Want...)
		}
	}
	return at(place, c.wordSentence(place, got, want)), len(e.Causes) > 0
}

func fixedWord(branch *jsonschema.ValidationError, depth int) *jsonschema.ValidationError {
	for _, leaf := range leaves(branch) {
		if len(leaf.InstanceLocation)-depth > 1 {
			continue
		}
		switch leaf.ErrorKind.(type) {
		case *kind.Const, *kind.Enum:
			return leaf
		}
	}
	return nil
}

// mergeRequired handles alternatives that each only ask for one field.
func (c *collector) mergeRequired(e *jsonschema.ValidationError) (Fault, bool) {
	var names []string
	for _, branch := range e.Causes {
		all := leaves(branch)
		if len(all) != 1 || len(all[0].InstanceLocation) != len(e.InstanceLocation) {
			return Fault{}, false
		}
		k, ok := all[0].ErrorKind.(*kind.Required)
		if !ok {
			return Fault{}, false
		}
		names = append(names, strings.Join(quoteAll(k.Missing), " with "))
	}
	return at(e.InstanceLocation, "missing field: add "+list(names, "or")), len(names) > 0
}

// tooMany is the sentence for a value that two alternatives of oneOf accept.
func (c *collector) tooMany(e *jsonschema.ValidationError, k *kind.OneOf) string {
	sch := c.schema.at[e.SchemaURL]
	var names []string
	if sch != nil {
		for _, i := range k.Subschemas {
			if i < len(sch.OneOf) {
				names = append(names, sch.OneOf[i].Required...)
			}
		}
	}
	if len(names) < 2 {
		return c.subject(e.InstanceLocation) + " has more than one of the allowed forms: keep one"
	}
	return fmt.Sprintf("fields %s exclude each other: keep one", list(quoteAll(names), "and"))
}
