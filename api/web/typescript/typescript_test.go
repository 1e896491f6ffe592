package typescript_test

import (
	"flag"
	"net/http/httptest"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/web/typescript"
)

var update = flag.Bool("update", false, "rewrite the files in ../src that are made from the interface")

// TestCurrent: what the page has of the interface is the interface as it is now.
func TestCurrent(t *testing.T) {
	handler, err := api.New(api.Config{Source: &api.Holder{}})
	require.NoError(t, err)
	response := httptest.NewRecorder()
	handler.ServeHTTP(response, httptest.NewRequestWithContext(t.Context(), "GET", "/v1/openapi.json", nil))
	types, err := typescript.Types(response.Body.Bytes(), api.Schemas())
	require.NoError(t, err)
	examples, err := typescript.Examples(response.Body.Bytes())
	require.NoError(t, err)
	for file, got := range map[string]string{"../src/api.gen.ts": types, "../src/examples.gen.ts": examples} {
		if *update {
			require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
		}
		want, err := os.ReadFile(file)
		require.NoError(t, err)
		if got != string(want) {
			t.Errorf("%s is not what the interface says: run go test ./api/web/typescript -update", file)
		}
	}
}

func TestExamples(t *testing.T) {
	_, err := typescript.Examples([]byte(`{"paths":{}}`))
	require.Error(t, err)
	_, err = typescript.Examples([]byte(`{`))
	require.Error(t, err)
	got, err := typescript.Examples([]byte(`{"paths":{"/v1/options":{"post":{"requestBody":{"content":{"application/json":{"examples":{
		"b":{"summary":"</script>","value":{}}, "a":{"summary":"x", "value":{}}}}}}}}}}`))
	require.NoError(t, err)
	assert.Regexp(t, `(?s)Question\}\]\)\[\] = \[\n  \["a", \{"summary":"x","value":\{\}\}\],\n  \["b", \{"summary":"</script>","value":\{\}\}\],\n\]\n$`, got)
}

func TestTypes(t *testing.T) {
	tests := []struct {
		name, schema, want string
	}{
		{"text", `{"type":"string"}`, `string`},
		{"whole number", `{"type":"integer"}`, `number`},
		{"words", `{"type":"string","enum":["a","b"]}`, `"a" | "b"`},
		{"fixed", `{"type":"string","const":"v1"}`, `"v1"`},
		{"may be null", `{"type":["integer","null"]}`, `number | null`},
		{"choice", `{"oneOf":[{"$ref":"#/components/schemas/A"},{"type":"null"}]}`, `A | null`},
		{"pair", `{"type":"array","minItems":2,"maxItems":2,"items":{"type":"number"}}`, `[number, number]`},
		{"list of words", `{"type":"array","items":{"enum":["a","b"]}}`, `("a" | "b")[]`},
		{"list of what is not said", `{"type":"array"}`, `unknown[]`},
		{"nothing said", `{}`, `unknown`},
		{"other file", `{"$ref":"schemas/fleet.schema.json#/$defs/in_pad"}`, `FleetFileInPad`},
		{"member of another", `{"$ref":"#/components/schemas/Question/properties/at"}`, `NonNullable<Question["at"]>`},
		{"whole other file", `{"$ref":"schemas/fleet.schema.json"}`, `FleetFile`},
		{"object", `{"required":["b"],"properties":{"b":{"type":"string"},"a":{"description":"x */ y","type":"number"},"^":{"type":"null"}}}`,
			"{\n  \"^\"?: null\n  /** x * / y */\n  a?: number\n  b: string\n}"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := typescript.Types([]byte(`{"components":{"schemas":{"X":`+tt.schema+`}}}`), nil)
			require.NoError(t, err)
			assert.Contains(t, got, "\nexport type X = "+tt.want+"\n")
		})
	}
}

func TestFaults(t *testing.T) {
	_, err := typescript.Types([]byte(`{`), nil)
	assert.ErrorContains(t, err, "the OpenAPI document")
	_, err = typescript.Types([]byte(`{"components":{"schemas":{"FleetFile":{}}}}`), map[string][]byte{"fleet.schema.json": []byte(`{}`)})
	assert.ErrorContains(t, err, "FleetFile")
}
