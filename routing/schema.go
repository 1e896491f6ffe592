package routing

import (
	_ "embed" // the schemas
	"slices"
	"sync"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
)

// The names by which other schemas refer to these, as in
// "fleet.schema.json#/$defs/asset".
const (
	FleetSchemaName    = "fleet.schema.json"
	SettingsSchemaName = "settings.schema.json"
)

//go:embed schema/fleet.schema.json
var fleetSchemaFile []byte

//go:embed schema/settings.schema.json
var settingsSchemaFile []byte

// FleetSchema returns the JSON Schema of fleet.json. Its #/$defs/asset is the
// schema of one asset. It refers to the facilities' schema by
// facilities.SchemaName.
func FleetSchema() []byte { return slices.Clone(fleetSchemaFile) }

// SettingsSchema returns the JSON Schema of settings.json.
func SettingsSchema() []byte { return slices.Clone(settingsSchemaFile) }

var (
	fleetSchema    = compiled(FleetSchemaName)
	assetSchema    = compiled(FleetSchemaName + "#/$defs/asset")
	settingsSchema = compiled(SettingsSchemaName)
)

// compiled compiles an embedded schema on first use. A schema that does not
// compile is a fault in the program, which every test would meet.
func compiled(id string) func() *strictjson.Schema {
	return sync.OnceValue(func() *strictjson.Schema {
		s, err := strictjson.Compile(id, map[string][]byte{
			facilities.SchemaName: facilities.Schema(),
			FleetSchemaName:       fleetSchemaFile,
			SettingsSchemaName:    settingsSchemaFile,
		})
		if err != nil {
			panic(err)
		}
		return s
	})
}
