package strictjson_test

import (
	"fmt"

	"surgeonward/facilities/strictjson"
)

func ExampleSchema_Check() {
	schema, err := strictjson.Compile("leg.json", map[string][]byte{"leg.json": []byte(`{
	  "type": "object", "additionalProperties": false, "required": ["duration_s"],
	  "properties": {"duration_s": {"type": "number", "minimum": 0}, "speed_kt": {"type": "number"}}
	}`)})
	if err != nil {
		fmt.Println(err)
		return
	}
	_, faults := schema.Check([]byte(`{"duration_s": -5, "speed_kts": "135"}`), strictjson.Limits{})
	for _, f := range faults {
		fmt.Println(f.Pointer, f.Detail)
	}
	// Output:
	// /duration_s "duration_s" must be at least 0 (got -5)
	// /speed_kts unknown field "speed_kts": did you mean "speed_kt"?
}
