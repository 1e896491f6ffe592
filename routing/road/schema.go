package road

import (
	_ "embed" // the schema
	"slices"
	"sync"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
)

// SchemaName is the name by which other schemas refer to this one.
const SchemaName = "roads.schema.json"

//go:embed schema/roads.schema.json
var schemaFile []byte

// Schema returns the JSON Schema (draft 2020-12) of roads.geojson, with
// descriptions and units. It refers to the facilities' schema by
// facilities.SchemaName. It states the shape; Decode checks more, such as the
// positions.
func Schema() []byte { return slices.Clone(schemaFile) }

var compiledSchema = sync.OnceValues(func() (*strictjson.Schema, error) {
	return strictjson.Compile(SchemaName, map[string][]byte{
		facilities.SchemaName: facilities.Schema(),
		SchemaName:            schemaFile,
	})
})
