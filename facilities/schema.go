package facilities

import (
	_ "embed"
	"slices"
	"sync"

	"surgeonward/facilities/strictjson"
)

// SchemaName is the name by which other schemas refer to this one, as in
// "facilities.schema.json#/$defs/timing".
const SchemaName = "facilities.schema.json"

//go:embed schema/facilities.schema.json
var schemaText []byte

// Schema returns the JSON Schema (draft 2020-12) of the file, with descriptions and
// units, so that editors complete and check it. It states the shape; [Decode] checks
// more, such as the positions.
func Schema() []byte { return slices.Clone(schemaText) }

// schemas are the two parts of the file's schema that Decode applies.
type schemas struct {
	collection *strictjson.Schema // without looking into the features
	feature    *strictjson.Schema
}

var compiledSchemas = sync.OnceValues(func() (schemas, error) {
	resources := map[string][]byte{SchemaName: schemaText}
	collection, err := strictjson.Compile(SchemaName, resources)
	if err != nil {
		return schemas{}, err
	}
	feature, err := strictjson.Compile(SchemaName+"#/$defs/feature", resources)
	return schemas{collection: collection, feature: feature}, err
})
