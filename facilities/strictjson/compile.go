package strictjson

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Schema is a compiled JSON Schema. It is safe for concurrent use.
type Schema struct {
	root *jsonschema.Schema
	at   map[string]*jsonschema.Schema // every schema it reaches, by location
}

// scheme makes relative names absolute, so that the library never looks at the
// file system to do so.
const scheme = "schema:///"

// Compile compiles the schema id, draft 2020-12 unless it says otherwise, with
// "format" asserted for date-time and date. Resources are the schema documents by
// name; one may $ref another by that name, and id may carry a fragment such as
// #/$defs/asset. Nothing outside resources is ever read.
//
// The keyword propertyNames is refused, because the library does not report
// reliably where it failed; patternProperties with additionalProperties false says
// the same.
func Compile(id string, resources map[string][]byte) (*Schema, error) {
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	c.UseLoader(jsonschema.SchemeURLLoader{})
	c.AssertFormat()
	c.RegisterFormat(&jsonschema.Format{Name: "date-time", Validate: checkDateTime})
	c.RegisterFormat(&jsonschema.Format{Name: "date", Validate: checkDate})
	for _, name := range slices.Sorted(maps.Keys(resources)) {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(resources[name]))
		if err != nil {
			return nil, fmt.Errorf("schema %s: %w", name, err)
		}
		if err := c.AddResource(absolute(name), doc); err != nil {
			return nil, fmt.Errorf("schema %s: %w", name, err)
		}
	}
	root, err := c.Compile(absolute(id))
	if err != nil {
		return nil, fmt.Errorf("schema %s: %w", id, err)
	}
	s := &Schema{root: root, at: map[string]*jsonschema.Schema{}}
	if err := s.index(root); err != nil {
		return nil, fmt.Errorf("schema %s: %w", id, err)
	}
	return s, nil
}

func absolute(name string) string {
	if strings.Contains(name, "://") {
		return name
	}
	return scheme + strings.TrimPrefix(name, "/")
}

// index remembers every schema reachable from sch by its location, because the
// library's errors name only the location.
func (s *Schema) index(sch *jsonschema.Schema) error {
	if sch == nil || s.at[sch.Location] != nil {
		return nil
	}
	if sch.PropertyNames != nil {
		return fmt.Errorf("%s uses propertyNames, which is not supported: use patternProperties", sch.Location)
	}
	s.at[sch.Location] = sch
	for _, sub := range children(sch) {
		if err := s.index(sub); err != nil {
			return err
		}
	}
	return nil
}

func children(sch *jsonschema.Schema) []*jsonschema.Schema {
	subs := inPlace(sch)
	subs = append(subs, sch.Not, sch.If, sch.UnevaluatedProperties, sch.Contains, sch.Items2020, sch.UnevaluatedItems)
	subs = append(subs, sch.PrefixItems...)
	subs = slices.AppendSeq(subs, maps.Values(sch.Properties))
	subs = slices.AppendSeq(subs, maps.Values(sch.PatternProperties))
	if extra, ok := sch.AdditionalProperties.(*jsonschema.Schema); ok {
		subs = append(subs, extra)
	}
	return subs
}

// inPlace lists the schemas that judge the same value as sch.
func inPlace(sch *jsonschema.Schema) []*jsonschema.Schema {
	subs := []*jsonschema.Schema{sch.Ref, sch.Then, sch.Else}
	subs = append(subs, sch.AllOf...)
	subs = append(subs, sch.AnyOf...)
	subs = append(subs, sch.OneOf...)
	return slices.AppendSeq(subs, maps.Values(sch.DependentSchemas))
}

// checkDateTime accepts exactly what time.Time reads from JSON, so that a value that
// passes the schema can always be decoded.
func checkDateTime(v any) error {
	text, ok := v.(string)
	if !ok {
		return nil
	}
	var t time.Time
	return t.UnmarshalText([]byte(text))
}

func checkDate(v any) error {
	text, ok := v.(string)
	if !ok {
		return nil
	}
	_, err := time.Parse(time.DateOnly, text)
	return err
}
