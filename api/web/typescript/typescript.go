// Package typescript writes the shapes of the interface as TypeScript types, so
// that the page is checked against the same document as the server.
package typescript

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
)

// schema is what is read of a JSON Schema: what decides a type. Conditions
// (if, not, patterns, bounds) narrow values and not types, and are left out.
type schema struct {
	Ref         string             `json:"$ref"`
	Type        oneOrMore          `json:"type"`
	Enum        []json.RawMessage  `json:"enum"`
	Const       json.RawMessage    `json:"const"`
	Items       *schema            `json:"items"`
	MinItems    int                `json:"minItems"`
	MaxItems    int                `json:"maxItems"`
	Properties  map[string]*schema `json:"properties"`
	Required    []string           `json:"required"`
	Closed      json.RawMessage    `json:"additionalProperties"`
	OneOf       []*schema          `json:"oneOf"`
	Defs        map[string]*schema `json:"$defs"`
	Description string             `json:"description"`
}

// oneOrMore is a JSON text or an array of texts.
type oneOrMore []string

// UnmarshalJSON reads either form.
func (o *oneOrMore) UnmarshalJSON(data []byte) error {
	var one string
	if json.Unmarshal(data, &one) == nil {
		*o = oneOrMore{one}
		return nil
	}
	return json.Unmarshal(data, (*[]string)(o))
}

// Types returns one TypeScript declaration for each schema of the OpenAPI
// document (as JSON) and, by file name, each definition of the schemas it
// refers to. The same input gives the same text.
func Types(document []byte, files map[string][]byte) (string, error) {
	var root struct {
		Components struct {
			Schemas map[string]*schema `json:"schemas"`
		} `json:"components"`
	}
	if err := json.Unmarshal(document, &root); err != nil {
		return "", fmt.Errorf("the OpenAPI document: %w", err)
	}
	declared := root.Components.Schemas
	for _, name := range slices.Sorted(maps.Keys(files)) {
		var file schema
		if err := json.Unmarshal(files[name], &file); err != nil {
			return "", fmt.Errorf("%s: %w", name, err)
		}
		prefix := fileName(name)
		defs := file.Defs
		file.Defs = nil
		add := func(as string, s *schema) error {
			if declared[as] != nil {
				return fmt.Errorf("two schemas would both be called %s", as)
			}
			s.localise(name)
			declared[as] = s
			return nil
		}
		if err := add(prefix, &file); err != nil {
			return "", err
		}
		for _, def := range slices.Sorted(maps.Keys(defs)) {
			if err := add(prefix+pascal(def), defs[def]); err != nil {
				return "", err
			}
		}
	}
	var out strings.Builder
	out.WriteString("// Written from api/openapi.yaml and the schemas of the region's files by\n" +
		"// `go test ./api/web/typescript -update`. Do not edit.\n")
	for _, name := range slices.Sorted(maps.Keys(declared)) {
		s := declared[name]
		fmt.Fprintf(&out, "\n%sexport type %s = %s\n", comment(s.Description, ""), name, s.text(""))
	}
	return out.String(), nil
}

// localise gives references within a file the file's name.
func (s *schema) localise(file string) {
	if s == nil {
		return
	}
	if strings.HasPrefix(s.Ref, "#") {
		s.Ref = file + s.Ref
	}
	s.Items.localise(file)
	for _, p := range s.Properties {
		p.localise(file)
	}
	for _, o := range s.OneOf {
		o.localise(file)
	}
}

// text writes the type, its continuation lines after indent.
func (s *schema) text(indent string) string {
	switch {
	case s.Ref != "":
		return reference(s.Ref)
	case len(s.Const) > 0:
		return string(s.Const)
	case len(s.Enum) > 0:
		words := make([]string, len(s.Enum))
		for i, w := range s.Enum {
			words[i] = string(w)
		}
		return strings.Join(words, " | ")
	case len(s.OneOf) > 0 && len(s.Properties) == 0:
		parts := make([]string, len(s.OneOf))
		for i, o := range s.OneOf {
			parts[i] = o.text(indent)
		}
		return strings.Join(parts, " | ")
	case len(s.Properties) > 0:
		return s.object(indent)
	}
	parts := make([]string, 0, len(s.Type))
	for _, t := range s.Type {
		parts = append(parts, s.plain(t, indent))
	}
	return cmp.Or(strings.Join(parts, " | "), "unknown")
}

func (s *schema) plain(kind, indent string) string {
	switch kind {
	case "integer":
		return "number"
	case "array":
		if s.Items == nil {
			return "unknown[]"
		}
		item := s.Items.text(indent)
		if s.MinItems == 2 && s.MaxItems == 2 {
			return "[" + item + ", " + item + "]"
		}
		if strings.Contains(item, " | ") {
			item = "(" + item + ")"
		}
		return item + "[]"
	case "object":
		return "{ [member: string]: unknown }"
	}
	return kind // string, number, boolean, null
}

func (s *schema) object(indent string) string {
	inner := indent + "  "
	var out strings.Builder
	out.WriteString("{\n")
	for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
		p := s.Properties[name]
		optional := "?"
		if slices.Contains(s.Required, name) {
			optional = ""
		}
		fmt.Fprintf(&out, "%s%s%s%s: %s\n", comment(p.Description, inner), inner, member(name), optional, p.text(inner))
	}
	out.WriteString(indent + "}")
	return out.String()
}

var plainMember = regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_]*$`)

func member(name string) string {
	if plainMember.MatchString(name) {
		return name
	}
	return fmt.Sprintf("%q", name)
}

// reference names what a $ref leads to: a schema of the OpenAPI document, a
// member of one, or the file with the definition in it.
func reference(ref string) string {
	file, pointer, _ := strings.Cut(ref, "#")
	if file == "" {
		name, inner, deep := strings.Cut(strings.TrimPrefix(pointer, "/components/schemas/"), "/properties/")
		if deep {
			return fmt.Sprintf("NonNullable<%s[%q]>", name, inner)
		}
		return name
	}
	if pointer == "" {
		return fileName(file)
	}
	return fileName(file) + pascal(path.Base(pointer))
}

func fileName(file string) string {
	return pascal(strings.TrimSuffix(path.Base(file), ".schema.json")) + "File"
}

// pascal writes in_pad as InPad.
func pascal(name string) string {
	var out strings.Builder
	for part := range strings.SplitSeq(name, "_") {
		if part != "" {
			out.WriteString(strings.ToUpper(part[:1]) + part[1:])
		}
	}
	return out.String()
}

// comment is the first paragraph of a description, as a comment.
func comment(description, indent string) string {
	first, _, _ := strings.Cut(strings.TrimSpace(description), "\n\n")
	if first == "" {
		return ""
	}
	return indent + "/** " + strings.ReplaceAll(strings.Join(strings.Fields(first), " "), "*/", "* /") + " */\n"
}
