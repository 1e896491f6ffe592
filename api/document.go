package api

import (
	"bytes"
	_ "embed" // the interface's description
	"fmt"
	"sync"

	"go.yaml.in/yaml/v3"

	"surgeonward/api/wire"
	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
	"surgeonward/routing/road"
)

//go:embed openapi.yaml
var documentYAML []byte

// documentName and schemaPath are where the document and the schemas it refers
// to are served; relative references between them work because they are.
const (
	documentName = "v1/openapi.json"
	schemaPath   = "v1/schemas/"
)

// documentJSON is the document as JSON, its members in the same order.
var documentJSON = sync.OnceValues(func() ([]byte, error) {
	var root yaml.Node
	if err := yaml.Unmarshal(documentYAML, &root); err != nil {
		return nil, fmt.Errorf("openapi.yaml: %w", err)
	}
	var out bytes.Buffer
	if err := writeJSON(&out, &root); err != nil {
		return nil, fmt.Errorf("openapi.yaml: %w", err)
	}
	return out.Bytes(), nil
})

// writeJSON writes a YAML node as JSON.
func writeJSON(out *bytes.Buffer, node *yaml.Node) error {
	switch node.Kind {
	case yaml.DocumentNode:
		return writeJSON(out, node.Content[0])
	case yaml.MappingNode:
		return writeParts(out, '{', '}', node.Content, 2)
	case yaml.SequenceNode:
		return writeParts(out, '[', ']', node.Content, 1)
	case yaml.ScalarNode:
		var value any
		if err := node.Decode(&value); err != nil {
			return err
		}
		text, err := wire.JSON(value)
		out.Write(bytes.TrimSpace(text))
		return err
	}
	return fmt.Errorf("line %d: aliases are not used here", node.Line)
}

// writeParts writes the members of a container; each has one or two nodes.
func writeParts(out *bytes.Buffer, open, end byte, parts []*yaml.Node, each int) error {
	out.WriteByte(open)
	for i, part := range parts {
		switch {
		case i%each == 1:
			out.WriteByte(':')
		case i > 0:
			out.WriteByte(',')
		}
		if err := writeJSON(out, part); err != nil {
			return err
		}
	}
	out.WriteByte(end)
	return nil
}

// Schemas returns the JSON Schemas of a region's files by name.
func Schemas() map[string][]byte {
	return map[string][]byte{
		facilities.SchemaName:  facilities.Schema(),
		"fleet.schema.json":    routing.FleetSchema(),
		road.SchemaName:        road.Schema(),
		"settings.schema.json": routing.SettingsSchema(),
	}
}

// compileSchema compiles the schema at a JSON Pointer of the OpenAPI document.
func compileSchema(pointer string) (*strictjson.Schema, error) {
	document, err := documentJSON()
	if err != nil {
		return nil, err
	}
	resources := map[string][]byte{documentName: document}
	for name, schema := range Schemas() {
		resources[schemaPath+name] = schema
	}
	return strictjson.Compile(documentName+"#"+pointer, resources)
}

// NewDecoder returns the decoder of questions, which checks them against the
// schema in the OpenAPI document: what is described is what is accepted.
func NewDecoder() (*wire.Decoder, error) {
	question, err := compileSchema("/components/schemas/Question")
	if err != nil {
		return nil, err
	}
	reach, err := compileSchema("/components/schemas/ReachQuestion")
	if err != nil {
		return nil, err
	}
	preAlert, err := compileSchema("/components/schemas/PreAlertQuestion")
	if err != nil {
		return nil, err
	}
	return wire.NewDecoder(question, reach, preAlert), nil
}
