package strictjson

import (
	"fmt"
	"slices"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/santhosh-tekuri/jsonschema/v6/kind"
)

// maxUnknown is how many unknown fields of one object are named one by one.
const maxUnknown = 100

// collector turns the library's tree of errors into faults.
type collector struct {
	schema   *Schema
	document any
}

func (c *collector) collect(e *jsonschema.ValidationError) []Fault {
	path := e.InstanceLocation
	switch k := e.ErrorKind.(type) {
	case *kind.Schema, *kind.Group, *kind.Reference, *kind.AllOf:
		return c.collectAll(e.Causes)
	case *kind.AnyOf:
		return c.branches(e)
	case *kind.OneOf:
		if len(k.Subschemas) > 0 {
			return []Fault{at(path, c.tooMany(e, k))}
		}
		return c.branches(e)
	case *kind.AdditionalProperties:
		return c.unknown(path, k.Properties, fields(c.schema.at[e.SchemaURL]))
	case *kind.FalseSchema:
		return c.forbidden(e)
	case *kind.Required:
		return each(path, k.Missing, func(name string) string {
			return fmt.Sprintf("missing field %s: add it", Quote(name))
		})
	case *kind.DependentRequired:
		return each(path, k.Missing, func(name string) string {
			return fmt.Sprintf("missing field %s: it is needed beside %s", Quote(name), Quote(k.Prop))
		})
	case *kind.Not:
		return c.not(e)
	}
	return []Fault{at(path, c.sentence(e))}
}

func (c *collector) collectAll(causes []*jsonschema.ValidationError) []Fault {
	var faults []Fault
	for _, cause := range causes {
		faults = append(faults, c.collect(cause)...)
	}
	return faults
}

func at(path []string, detail string) Fault {
	return Fault{Pointer: Pointer(path...), Detail: detail}
}

func each(path, names []string, detail func(string) string) []Fault {
	faults := make([]Fault, 0, len(names))
	for _, name := range names {
		faults = append(faults, at(path, detail(name)))
	}
	return faults
}

// unknown gives one fault for every unknown field, at the field itself.
func (c *collector) unknown(path, names, known []string) []Fault {
	names = slices.Sorted(slices.Values(names)) // the library hands them over in map order
	var faults []Fault
	if extra := len(names) - maxUnknown; extra > 0 {
		names = names[:maxUnknown]
		faults = append(faults, at(path, fmt.Sprintf("%d more unknown fields: remove them", extra)))
	}
	for _, name := range names {
		faults = append(faults, at(append(slices.Clone(path), name), UnknownField(name, known)))
	}
	return faults
}

// UnknownField is the sentence for a field that is not among the known ones.
func UnknownField(name string, known []string) string {
	if near, ok := Nearest(name, known); ok {
		return fmt.Sprintf("unknown field %s: did you mean %s?", Quote(name), Quote(near))
	}
	if len(known) == 0 {
		return fmt.Sprintf("unknown field %s: remove it", Quote(name))
	}
	return fmt.Sprintf("unknown field %s: remove it, or use one of %s", Quote(name), list(quoteAll(known), "and"))
}

// forbidden handles a value that the schema "false" refuses: a field that does not
// belong in this object, or one left over for unevaluatedProperties.
func (c *collector) forbidden(e *jsonschema.ValidationError) []Fault {
	path := e.InstanceLocation
	if len(path) == 0 {
		return []Fault{at(path, "nothing is allowed here")}
	}
	name := path[len(path)-1]
	if owner, ok := strings.CutSuffix(e.SchemaURL, "/unevaluatedProperties"); ok {
		return []Fault{at(path, UnknownField(name, fields(c.schema.at[owner])))}
	}
	return []Fault{at(path, fmt.Sprintf("%s does not belong here: remove it", c.subject(path)))}
}

// not handles the two ways in which a schema says that a field must be absent:
// "not": {"required": [...]} on the object, and on the field a schema that nothing
// fits, with the reason in its $comment.
func (c *collector) not(e *jsonschema.ValidationError) []Fault {
	path := e.InstanceLocation
	sch := c.schema.at[e.SchemaURL]
	if sch != nil && sch.Comment != "" {
		return []Fault{at(path, c.subject(path)+" "+sch.Comment)}
	}
	if sch == nil || sch.Not == nil || len(sch.Not.Required) == 0 {
		return []Fault{at(path, c.subject(path)+" has a value that is not allowed")}
	}
	if req := sch.Not.Required; len(req) > 1 {
		return []Fault{at(path, fmt.Sprintf("fields %s exclude each other: keep one", list(quoteAll(req), "and")))}
	}
	name := sch.Not.Required[0]
	return []Fault{at(append(slices.Clone(path), name), fmt.Sprintf("field %s does not belong here: remove it", Quote(name)))}
}

// fields lists the names that sch and the schemas applied in the same place know, sorted.
func fields(sch *jsonschema.Schema) []string {
	names := map[string]bool{}
	seen := map[*jsonschema.Schema]bool{}
	var visit func(*jsonschema.Schema)
	visit = func(s *jsonschema.Schema) {
		if s == nil || seen[s] {
			return
		}
		seen[s] = true
		for name, sub := range s.Properties {
			if sub.Bool == nil || *sub.Bool {
				names[name] = true
			}
		}
		for _, sub := range inPlace(s) {
			visit(sub)
		}
	}
	visit(sch)
	sorted := make([]string, 0, len(names))
	for name := range names {
		sorted = append(sorted, name)
	}
	slices.Sort(sorted)
	return sorted
}
