package api_test

import (
	"encoding/json"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/facilities/strictjson"
)

// document is the OpenAPI document as it is served, with what is needed to
// validate against any schema in it.
type document struct {
	root     map[string]any
	schemas  map[string][]byte // as strictjson.Compile takes them
	compiled map[string]*strictjson.Schema
}

// served reads the document from the handler. A strict one refuses members of
// answers that are not described.
func served(t testing.TB, h http.Handler, strict bool) *document {
	t.Helper()
	w := get(h, "/v1/openapi.json")
	require.Equal(t, http.StatusOK, w.Code)
	d := &document{root: object(t, w.Body.Bytes()), schemas: map[string][]byte{}, compiled: map[string]*strictjson.Schema{}}
	if strict {
		closeObjects(d.root["components"].(map[string]any)["schemas"])
	}
	text, err := json.Marshal(d.root)
	require.NoError(t, err)
	d.schemas["v1/openapi.json"] = text
	for name := range api.Schemas() {
		w := get(h, "/v1/schemas/"+name)
		require.Equal(t, http.StatusOK, w.Code, name)
		d.schemas["v1/schemas/"+name] = w.Body.Bytes()
	}
	return d
}

// closeObjects makes every schema that lists properties refuse others.
func closeObjects(value any) {
	switch v := value.(type) {
	case map[string]any:
		if _, ok := v["properties"].(map[string]any); ok {
			if _, set := v["additionalProperties"]; !set {
				v["additionalProperties"] = false
			}
		}
		for _, inner := range v {
			closeObjects(inner)
		}
	case []any:
		for _, inner := range v {
			closeObjects(inner)
		}
	}
}

// find follows a path of keys, and the references it meets.
func (d *document) find(t testing.TB, keys ...string) (value map[string]any, pointer string) {
	t.Helper()
	var at any = d.root
	for _, key := range keys {
		if m, ok := at.(map[string]any); ok {
			if ref, ok := m["$ref"].(string); ok && strings.HasPrefix(ref, "#/") {
				inner, p := d.find(t, strings.Split(ref[2:], "/")...)
				at, pointer = inner, p
			}
		}
		m, ok := at.(map[string]any)
		require.True(t, ok, "%v at %s", keys, key)
		require.Contains(t, m, key, "%v", keys)
		at = m[key]
		pointer += strictjson.Pointer(key)
	}
	value, _ = at.(map[string]any)
	return value, pointer
}

// faults checks a JSON text against the schema at a path of the document.
func (d *document) faults(t testing.TB, text []byte, keys ...string) []strictjson.Fault {
	t.Helper()
	_, pointer := d.find(t, keys...)
	schema := d.compiled[pointer]
	if schema == nil {
		var err error
		escaped := (&url.URL{Fragment: pointer}).EscapedFragment()
		schema, err = strictjson.Compile("v1/openapi.json#"+escaped, d.schemas)
		require.NoError(t, err)
		d.compiled[pointer] = schema
	}
	_, faults := schema.Check(text, strictjson.Limits{Bytes: 64 << 20, Values: 1 << 22})
	return faults
}

// check finds what the document says of a response and checks it against that.
func (d *document) check(t testing.TB, method, path string, w *httptest.ResponseRecorder) {
	t.Helper()
	media, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
	keys := []string{"paths", path, strings.ToLower(method), "responses", strconv.Itoa(w.Code), "content", media, "schema"}
	assert.Empty(t, d.faults(t, w.Body.Bytes(), keys...), "%s %s %d", method, path, w.Code)
}

// TestDocumentIsValid: OpenAPI 3.1 as kin-openapi implements it. The schemas of
// the files are JSON Schemas with tests of their own, and stand-ins save the
// time to read them again and again.
func TestDocumentIsValid(t *testing.T) {
	h := handler(t)
	loader := openapi3.NewLoader()
	loader.IsExternalRefsAllowed = true
	loader.ReadFromURIFunc = func(_ *openapi3.Loader, at *url.URL) ([]byte, error) {
		w := get(h, at.Path)
		require.Equal(t, http.StatusOK, w.Code, at.Path)
		if strings.HasPrefix(at.Path, "/v1/schemas/") {
			return []byte(`{"$defs":{"asset":{"type":"object"},"feature":{"type":"object"}}}`), nil
		}
		return w.Body.Bytes(), nil
	}
	doc, err := loader.LoadFromURI(&url.URL{Path: "/v1/openapi.yaml"})
	require.NoError(t, err)
	require.NoError(t, doc.Validate(t.Context()))
	assert.True(t, doc.IsOpenAPI31OrLater())
}

func TestDocumentFormsAgree(t *testing.T) {
	h := handler(t)
	w := get(h, "/v1/openapi.yaml")
	require.Equal(t, http.StatusOK, w.Code)
	assert.Equal(t, "application/yaml", w.Header().Get("Content-Type"))
	first, _, _ := strings.Cut(w.Body.String(), "\n")
	assert.Equal(t, "openapi: 3.1.0", first)
	assert.Equal(t, "3.1.0", object(t, get(h, "/v1/openapi.json").Body.Bytes())["openapi"])
}

func TestDocumentHasEveryRoute(t *testing.T) {
	// source: definition; the index is made from the routes that are registered
	h := handler(t)
	var registered []string
	for _, r := range object(t, get(h, "/").Body.Bytes())["routes"].([]any) {
		route := r.(map[string]any)
		registered = append(registered, route["method"].(string)+" "+route["path"].(string))
	}
	var described []string
	paths, _ := served(t, h, false).find(t, "paths")
	for path, item := range paths {
		for method := range item.(map[string]any) {
			described = append(described, strings.ToUpper(method)+" "+path)
		}
	}
	assert.ElementsMatch(t, described, registered)
}

// TestDocumentDescribesEverything walks the schemas: every property says what
// it is, itself or by the schema it refers to.
func TestDocumentDescribesEverything(t *testing.T) {
	d := served(t, handler(t), false)
	schemas, _ := d.find(t, "components", "schemas")
	for _, name := range slices.Sorted(maps.Keys(schemas)) {
		walkProperties(name, schemas[name], func(at string, property map[string]any) {
			_, described := property["description"]
			ref, refers := property["$ref"].(string)
			if refers && !described {
				target, _ := d.find(t, strings.Split(strings.TrimPrefix(ref, "#/"), "/")...)
				_, described = target["description"]
			}
			if at == "Feature.properties" {
				described = true // each of its three forms is
			}
			assert.True(t, described, "%s has no description", at)
		})
	}
}

func walkProperties(at string, value any, visit func(string, map[string]any)) {
	switch v := value.(type) {
	case map[string]any:
		if properties, ok := v["properties"].(map[string]any); ok {
			for name, p := range properties {
				if schema, ok := p.(map[string]any); ok {
					visit(at+"."+name, schema)
				}
			}
		}
		for name, inner := range v {
			walkProperties(at+"."+name, inner, visit)
		}
	case []any:
		for _, inner := range v {
			walkProperties(at, inner, visit)
		}
	}
}

func TestDocumentExamplesHold(t *testing.T) {
	h := handler(t)
	d := served(t, h, true)
	question := []string{"paths", "/v1/options", "post", "requestBody", "content", "application/json"}
	examples, _ := d.find(t, append(question, "examples")...)
	require.NotEmpty(t, examples)
	for name, example := range examples {
		body, err := json.Marshal(example.(map[string]any)["value"])
		require.NoError(t, err)
		assert.Empty(t, d.faults(t, body, append(question, "schema")...), name)
		w := post(h, string(body))
		assert.Equal(t, http.StatusOK, w.Code, "%s: %s", name, w.Body)
	}
	for name, body := range scenarios(t) {
		require.Contains(t, examples, name)
		assert.Equal(t, decode(t, []byte(body)), examples[name].(map[string]any)["value"], name)
	}

	answer := []string{"components", "responses", "Answer", "content", "application/json"}
	examples, _ = d.find(t, append(answer, "examples")...)
	require.NotEmpty(t, examples)
	for name, example := range examples {
		body, err := json.Marshal(example.(map[string]any)["value"])
		require.NoError(t, err)
		assert.Empty(t, d.faults(t, body, append(answer, "schema")...), name)
	}

	problem := []string{"components", "responses", "Problem", "content", "application/problem+json"}
	examples, _ = d.find(t, append(problem, "examples")...)
	for name, example := range examples {
		body, err := json.Marshal(example.(map[string]any)["value"])
		require.NoError(t, err)
		assert.Empty(t, d.faults(t, body, append(problem, "schema")...), name)
	}
	// The example is a real answer but for its id.
	w := do(h, call{method: http.MethodPost, path: "/v1/options", body: `{"scene":{"position":[-29.41,45.52],"landing":"posible","uncertanty_m":5}}`,
		header: http.Header{"X-Request-Id": {"QGDM7TWJ4Y2S6K5LZV3XHN8RBC"}}})
	assert.Equal(t, examples["misspelt"].(map[string]any)["value"], decode(t, w.Body.Bytes()))
}

func TestScenariosFollowTheDocument(t *testing.T) {
	h := handler(t)
	d := served(t, h, true)
	for name, body := range scenarios(t) {
		t.Run(name, func(t *testing.T) {
			assert.Empty(t, d.faults(t, []byte(body), "paths", "/v1/options", "post", "requestBody", "content", "application/json", "schema"))
			w := post(h, body)
			require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
			d.check(t, http.MethodPost, "/v1/options", w)
			w = do(h, call{method: http.MethodPost, path: "/v1/options", body: body, header: http.Header{"Accept": {"application/geo+json"}}})
			require.Equal(t, http.StatusOK, w.Code)
			require.Equal(t, "application/geo+json", w.Header().Get("Content-Type"))
			d.check(t, http.MethodPost, "/v1/options", w)
		})
	}
}
