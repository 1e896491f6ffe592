package strictjson_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/strictjson"
)

const crewSchema = `{
  "$schema": "https://json-schema.org/draft/2020-12/schema",
  "type": "object",
  "required": ["name"],
  "additionalProperties": false,
  "properties": {
    "name": {"type": "string", "minLength": 1, "maxLength": 8},
    "seats": {"type": "integer", "minimum": 0, "maximum": 9},
    "speed_kt": {"type": "number", "exclusiveMinimum": 0},
    "role": {"enum": ["physician", "paramedic", "pilot"]},
    "id": {"type": "string", "pattern": "^[a-z]+$"},
    "from": {"type": "string", "pattern": "^\\d\\d:\\d\\d$", "examples": ["07:30"]},
    "call": {"type": "string", "pattern": "^[A-Z]+$", "$comment": "must be capital letters"},
    "runway_m": {"not": {}, "$comment": "is for airfields only: remove it"},
    "since": {"type": "string", "format": "date-time"},
    "days": {"type": "array", "minItems": 1, "uniqueItems": true, "items": {"enum": ["mon", "tue"]}},
    "call_in": {"$ref": "timing.json#/$defs/timing"},
    "at": {"oneOf": [
      {"type": "object", "required": ["kind", "lat"], "properties": {"kind": {"const": "point"}, "lat": {"type": "number"}}},
      {"type": "object", "required": ["kind", "ref"], "properties": {"kind": {"const": "facility"}, "ref": {"type": "string"}, "side": {"enum": ["north", "south"]}}}
    ]},
    "size": {"anyOf": [{"type": "number"}, {"type": "string"}]},
    "where": {"type": "object", "oneOf": [{"required": ["position"]}, {"required": ["facility"]}]},
    "never": false,
    "loose": {"type": "object", "allOf": [{"properties": {"runway_m": {"type": "number"}}}], "unevaluatedProperties": false},
    "apart": {"type": "object", "not": {"required": ["lit"]}},
    "pair": {"type": "object", "dependentRequired": {"lat": ["lon"]}},
    "a/b~c": {"type": "number"}
  }
}`

const timingSchema = `{"$defs": {"timing": {"type": "object", "additionalProperties": false,
  "required": ["typical_s", "slow_s"],
  "properties": {"typical_s": {"type": "number", "minimum": 0}, "slow_s": {"type": "number", "minimum": 0}}}}}`

func crew(t testing.TB) *strictjson.Schema {
	t.Helper()
	s, err := strictjson.Compile("crew.json", map[string][]byte{
		"crew.json": []byte(crewSchema), "timing.json": []byte(timingSchema),
	})
	require.NoError(t, err)
	return s
}

func TestCheckSchemaFaults(t *testing.T) {
	const pointerSource = "RFC 6901 section 3; wording: definition"
	tests := []struct {
		name, source, in string
		want             []strictjson.Fault
	}{
		{"nothing wrong", "definition", `{"name":"a","seats":2,"call_in":{"typical_s":1,"slow_s":2}}`, nil},
		{"misspelt field", pointerSource, `{"name":"a","seatz":2}`,
			[]strictjson.Fault{{Pointer: "/seatz", Detail: `unknown field "seatz": did you mean "seats"?`}}},
		{"missing field", pointerSource, `{}`,
			[]strictjson.Fault{{Detail: `missing field "name": add it`}}},
		{"quoted number", pointerSource, `{"name":"a","seats":"4"}`,
			[]strictjson.Fault{{Pointer: "/seats", Detail: `"seats" must be a whole number, got a string: remove the quotes`}}},
		{"null", pointerSource, `{"name":null}`,
			[]strictjson.Fault{{Pointer: "/name", Detail: `"name" must be a string, got null: give a value, or leave it out if it is optional`}}},
		{"too small", pointerSource, `{"name":"a","seats":-5}`,
			[]strictjson.Fault{{Pointer: "/seats", Detail: `"seats" must be at least 0 (got -5)`}}},
		{"zero speed", pointerSource, `{"name":"a","speed_kt":0}`,
			[]strictjson.Fault{{Pointer: "/speed_kt", Detail: `"speed_kt" must be more than 0 (got 0)`}}},
		{"fraction of a seat", pointerSource, `{"name":"a","seats":1.5}`,
			[]strictjson.Fault{{Pointer: "/seats", Detail: `"seats" must be a whole number, got a number`}}},
		{"unknown word", pointerSource, `{"name":"a","role":"phisician"}`,
			[]strictjson.Fault{{Pointer: "/role", Detail: `"role" must be one of "physician", "paramedic" or "pilot" (got "phisician"): did you mean "physician"?`}}},
		{"pattern", pointerSource, `{"name":"a","id":"A1"}`,
			[]strictjson.Fault{{Pointer: "/id", Detail: `"id" does not have the form ^[a-z]+$ (got "A1")`}}},
		{"pattern with an example", pointerSource, `{"name":"a","from":"7.30"}`,
			[]strictjson.Fault{{Pointer: "/from", Detail: `"from" must look like "07:30" (got "7.30")`}}},
		{"pattern in the schema's words", pointerSource, `{"name":"a","call":"x"}`,
			[]strictjson.Fault{{Pointer: "/call", Detail: `"call" must be capital letters (got "x")`}}},
		{"forbidden in the schema's words", pointerSource, `{"name":"a","runway_m":1}`,
			[]strictjson.Fault{{Pointer: "/runway_m", Detail: `"runway_m" is for airfields only: remove it`}}},
		{"date without zone", "RFC 3339 section 5.6", `{"name":"a","since":"2031-03-14T21:40:00"}`,
			[]strictjson.Fault{{Pointer: "/since", Detail: `"since" must be a date and time with its zone, such as "2031-03-14T21:40:00Z" (got "2031-03-14T21:40:00")`}}},
		{"29 February of a common year", "Gregorian calendar", `{"name":"a","since":"2031-02-29T00:00:00Z"}`,
			[]strictjson.Fault{{Pointer: "/since", Detail: `"since" must be a date and time with its zone, such as "2031-03-14T21:40:00Z" (got "2031-02-29T00:00:00Z")`}}},
		{"empty name", pointerSource, `{"name":""}`,
			[]strictjson.Fault{{Pointer: "/name", Detail: `"name" must not be empty`}}},
		{"long name", pointerSource, `{"name":"åååååååååå"}`,
			[]strictjson.Fault{{Pointer: "/name", Detail: `"name" must have at most 8 characters (has 10)`}}},
		{"item of an array", pointerSource, `{"name":"a","days":["mon","tues"]}`,
			[]strictjson.Fault{{Pointer: "/days/1", Detail: `"days/1" must be one of "mon" or "tue" (got "tues"): did you mean "tue"?`}}},
		{"same item twice", pointerSource, `{"name":"a","days":["mon","mon"]}`,
			[]strictjson.Fault{{Pointer: "/days", Detail: `"days" lists the same value at positions 0 and 1: keep one`}}},
		{"through a reference into another resource", pointerSource, `{"name":"a","call_in":{"typical_s":1,"slow":2}}`,
			[]strictjson.Fault{
				{Pointer: "/call_in", Detail: `missing field "slow_s": add it`},
				{Pointer: "/call_in/slow", Detail: `unknown field "slow": did you mean "slow_s"?`}}},
		{"no alternative by type", pointerSource, `{"name":"a","size":true}`,
			[]strictjson.Fault{{Pointer: "/size", Detail: `"size" must be a number or a string, got true or false`}}},
		{"alternative picked by its word", pointerSource, `{"name":"a","at":{"kind":"facility","ref":1}}`,
			[]strictjson.Fault{{Pointer: "/at/ref", Detail: `"ref" must be a string, got a number`}}},
		{"alternative picked by its kind, not by a word in it", pointerSource, `{"name":"a","at":{"kind":"facility","ref":"x","side":"nort"}}`,
			[]strictjson.Fault{{Pointer: "/at/side", Detail: `"side" must be one of "north" or "south" (got "nort"): did you mean "north"?`}}},
		{"no alternative has the word", pointerSource, `{"name":"a","at":{"kind":"piont","lat":1}}`,
			[]strictjson.Fault{{Pointer: "/at/kind", Detail: `"kind" must be one of "point" or "facility" (got "piont"): did you mean "point"?`}}},
		{"one of two fields", pointerSource, `{"name":"a","where":{}}`,
			[]strictjson.Fault{{Pointer: "/where", Detail: `missing field: add "position" or "facility"`}}},
		{"both of two fields", pointerSource, `{"name":"a","where":{"position":1,"facility":2}}`,
			[]strictjson.Fault{{Pointer: "/where", Detail: `fields "position" and "facility" exclude each other: keep one`}}},
		{"field that must be absent", pointerSource, `{"name":"a","never":1}`,
			[]strictjson.Fault{{Pointer: "/never", Detail: `"never" does not belong here: remove it`}}},
		{"field excluded by not", pointerSource, `{"name":"a","apart":{"lit":true}}`,
			[]strictjson.Fault{{Pointer: "/apart/lit", Detail: `field "lit" does not belong here: remove it`}}},
		{"unevaluated field", pointerSource, `{"name":"a","loose":{"runway":1}}`,
			[]strictjson.Fault{{Pointer: "/loose/runway", Detail: `unknown field "runway": did you mean "runway_m"?`}}},
		{"field that needs another", pointerSource, `{"name":"a","pair":{"lat":1}}`,
			[]strictjson.Fault{{Pointer: "/pair", Detail: `missing field "lon": it is needed beside "lat"`}}},
		{"escaped pointer", "RFC 6901 section 5: ~1 for / and ~0 for ~", `{"name":"a","a/b~c":"x"}`,
			[]strictjson.Fault{{Pointer: "/a~1b~0c", Detail: `"a/b~c" must be a number, got a string`}}},
		{"wrong document", pointerSource, `[]`,
			[]strictjson.Fault{{Detail: `the document must be an object, got an array`}}},
	}
	schema := crew(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			value, faults := schema.Check([]byte(tt.in), strictjson.Limits{})
			assert.Equal(t, tt.want, faults, tt.source)
			assert.Equal(t, tt.want != nil, value == nil)
		})
	}
}

func TestCheckReportsEverythingAtOnceInOrder(t *testing.T) {
	in := `{"seats":-1,"days":["mon","tue","x"],"zzz":1,"speed_kt":1e999,"seats":12}`
	_, faults := crew(t).Check([]byte(in), strictjson.Limits{})
	var pointers []string
	for _, f := range faults {
		pointers = append(pointers, f.Pointer)
	}
	assert.Equal(t, []string{"", "/days/2", "/seats", "/speed_kt", "/zzz"}, pointers)
	assert.Contains(t, faults[0].Detail, `missing field "name"`)
	assert.Contains(t, faults[2].Detail, fmt.Sprintf("given twice (again at line 1, column %d)", strings.LastIndex(in, `"seats"`)+1))
	assert.Contains(t, faults[3].Detail, `"1e999" is outside the range`)
	assert.Contains(t, faults[4].Detail, `use one of "a/b~c", "apart"`, "no near word: the known names are listed")
}

func TestCheckSyntax(t *testing.T) {
	tests := []struct {
		name, source, in, pointer, detail string
	}{
		{"empty", "RFC 8259 section 2", "", "", "the document is empty"},
		{"only spaces", "RFC 8259 section 2", " \n\t ", "", "the document is empty"},
		{"truncated", "RFC 8259 section 2", "{\"name\":\n  \"a", "/name", "the document ends in the middle of a value: it may have been cut short (line 2, column 5)"},
		{"truncated between values", "RFC 8259 section 2", `{"name":"a",`, "", "the document ends in the middle of a value: it may have been cut short (line 1, column 13)"},
		{"trailing data", "RFC 8259 section 2", "{\"name\":\"a\"}\n {}", "", "the document goes on after its end: remove what follows (line 2, column 2)"},
		{"trailing comma", "RFC 8259 section 4", `{"name":"a",}`, "", `not valid JSON: remove the comma before "}" (line 1, column 12)`},
		{"missing comma", "RFC 8259 section 4", `{"name":"a" "seats":1}`, "", `not valid JSON: a comma or colon is missing before the quotation mark (line 1, column 13)`},
		{"comment", "RFC 8259 section 2", "{\n// x\n}", "", "not valid JSON: comments are not allowed (line 2, column 1)"},
		{"single quotes", "RFC 8259 section 7", `{'name':1}`, "", "not valid JSON: use double quotes, not single ones (line 1, column 2)"},
		{"NaN", "RFC 8259 section 6", `{"seats":NaN}`, "/seats", "not valid JSON: NaN and Infinity are not JSON numbers: give a number or leave the field out (line 1, column 10)"},
		{"invalid UTF-8", "RFC 8259 section 8.1", "{\"name\":\"å\xff\"}", "/name", "the text is not valid UTF-8: save it as UTF-8 (line 1, column 11)"},
		{"byte order mark", "RFC 8259 section 8.1", "\xef\xbb\xbf{}", "", "the document starts with a byte order mark: save it as plain UTF-8 without one"},
		{"UTF-16", "RFC 8259 section 8.1", "\xff\xfe{\x00}\x00", "", "the document starts with a byte order mark: save it as plain UTF-8 without one"},
	}
	schema := crew(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			value, faults := schema.Check([]byte(tt.in), strictjson.Limits{})
			assert.Nil(t, value)
			assert.Equal(t, []strictjson.Fault{{Pointer: tt.pointer, Detail: tt.detail}}, faults, tt.source)
		})
	}
}

func TestCheckLimits(t *testing.T) {
	tests := []struct {
		name, in, detail string
		lim              strictjson.Limits
	}{
		{"bytes", `{"name":"a"}`, "the document has 12 bytes; at most 11 are read", strictjson.Limits{Bytes: 11}},
		{"depth", `{"a":[[1]]}`, "nested more than 2 deep", strictjson.Limits{Depth: 2}},
		{"default depth", strings.Repeat("[", 100_000), "nested more than 32 deep", strictjson.Limits{}},
		{"values", `[1,2,3]`, "holds more than 3 values", strictjson.Limits{Values: 3}},
		{"default values", "[" + strings.Repeat("0,", 200_000) + "0]", "holds more than 100,000 values", strictjson.Limits{}},
		{"default bytes", strings.Repeat(" ", 1<<20) + "1", "the document has 1,048,577 bytes; at most 1,048,576 are read", strictjson.Limits{}},
		{"long name", `{"` + strings.Repeat("n", 201) + `":1}`, "a field name has 201 bytes, at most 200", strictjson.Limits{}},
		{"name that does not print", `{"a\u0007":1}`, `field name "a` + "\uFFFD" + `" holds a character that does not print`, strictjson.Limits{}},
	}
	schema := crew(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			value, faults := schema.Check([]byte(tt.in), tt.lim)
			assert.Nil(t, value)
			require.NotEmpty(t, faults)
			assert.Contains(t, faults[0].Detail, tt.detail)
		})
	}
}

// a fault for every value must not take the square of the length
func TestCheckManyFaults(t *testing.T) {
	schema := crew(t)
	var twice, unknown strings.Builder
	twice.WriteString(`{"name":"a"`)
	unknown.WriteString(`{"name":"a"`)
	for i := range 10_000 {
		twice.WriteString(`,"seats":1`)
		unknown.WriteString(`,"x` + strings.Repeat("y", i%9) + string(rune('a'+i%26)) + `":1`)
	}
	_, faults := schema.Check([]byte(twice.String()+"}"), strictjson.Limits{})
	assert.Len(t, faults, 9_999)
	_, faults = schema.Check([]byte(unknown.String()+"}"), strictjson.Limits{})
	assert.NotEmpty(t, faults)
}

func TestParse(t *testing.T) {
	value, faults := strictjson.Parse([]byte(` {"a":[1,-0.5e1,null,true,"\u00e5"]} `), strictjson.Limits{})
	assert.Empty(t, faults)
	assert.Equal(t, map[string]any{"a": []any{1.0, -5.0, nil, true, "å"}}, value)
	value, faults = strictjson.Parse([]byte(`{"a":1e999,"b":{"c":1,"c":2}}`), strictjson.Limits{})
	assert.Nil(t, value)
	require.Len(t, faults, 2)
	assert.Equal(t, "/a", faults[0].Pointer)
	assert.Equal(t, "/b/c", faults[1].Pointer)
}

func TestStream(t *testing.T) {
	var got []any
	keep := func(i int, v any) error {
		assert.Len(t, got, i)
		got = append(got, v)
		return nil
	}
	tests := []struct {
		name, source, in string
		items            []any
		rest             any
		whole            bool
		pointers         []string
	}{
		{"items apart from the rest", "definition", `{"a":1,"list":[1,{"list":[2]}],"z":[3]}`,
			[]any{1.0, map[string]any{"list": []any{2.0}}}, map[string]any{"a": 1.0, "list": []any{}, "z": []any{3.0}}, true, nil},
		{"no such array", "definition", `{"list":{}}`, nil, map[string]any{"list": map[string]any{}}, true, nil},
		{"fault inside an item", "RFC 6901", `{"list":[1,1e999]}`, []any{1.0, 0.0}, map[string]any{"list": []any{}}, true, []string{"/list/1"}},
		{"broken after the first item", "RFC 6901", `{"list":[1,`, []any{1.0}, nil, false, []string{"/list/1"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got = nil
			rest, faults, whole := strictjson.Stream([]byte(tt.in), strictjson.Limits{}, "/list", keep)
			assert.Equal(t, tt.items, got, tt.source)
			assert.Equal(t, tt.rest, rest)
			assert.Equal(t, tt.whole, whole)
			var pointers []string
			for _, f := range faults {
				pointers = append(pointers, f.Pointer)
			}
			assert.Equal(t, tt.pointers, pointers)
		})
	}
	_, faults, whole := strictjson.Stream([]byte(`{"list":[1,2,3]}`), strictjson.Limits{}, "/list", func(i int, _ any) error {
		if i == 1 {
			return errors.New("too many")
		}
		return nil
	})
	assert.False(t, whole)
	assert.Equal(t, []strictjson.Fault{{Pointer: "/list", Detail: "too many"}}, faults)
}

func TestCheckEchoesLittle(t *testing.T) {
	long := strings.Repeat("x", 500)
	_, faults := crew(t).Check([]byte(`{"name":"a","role":"`+long+`","id":"\u001b[31m\n`+long+`"}`), strictjson.Limits{})
	require.Len(t, faults, 2)
	for _, f := range faults {
		assertClean(t, f)
		assert.NotContains(t, f.Detail, strings.Repeat("x", 61))
		assert.Contains(t, f.Detail, "…")
	}
}

func assertClean(t *testing.T, f strictjson.Fault) {
	t.Helper()
	for _, text := range []string{f.Pointer, f.Detail} {
		assert.True(t, utf8.ValidString(text))
		assert.False(t, strings.ContainsFunc(text, unicode.IsControl), "control character in %q", text)
	}
	assert.NotEmpty(t, f.Detail)
}

func TestCompile(t *testing.T) {
	resources := map[string][]byte{"timing.json": []byte(timingSchema)}
	t.Run("fragment", func(t *testing.T) {
		s, err := strictjson.Compile("timing.json#/$defs/timing", resources)
		require.NoError(t, err)
		_, faults := s.Check([]byte(`{"typical_s":1}`), strictjson.Limits{})
		assert.Equal(t, []strictjson.Fault{{Detail: `missing field "slow_s": add it`}}, faults)
	})
	for name, in := range map[string]string{
		"broken JSON":           `{`,
		"outside reference":     `{"$ref": "other.json"}`,
		"file on disk":          `{"$ref": "file:///etc/hostname"}`,
		"property names":        `{"properties": {"a": {"propertyNames": {"maxLength": 3}}}}`,
		"not a valid schema":    `{"type": "decimal"}`,
		"pattern does not read": `{"pattern": "("}`,
	} {
		t.Run(name, func(t *testing.T) {
			_, err := strictjson.Compile("s.json", map[string][]byte{"s.json": []byte(in)})
			assert.ErrorContains(t, err, "s.json")
		})
	}
	_, err := strictjson.Compile("absent.json", resources)
	assert.ErrorContains(t, err, "absent.json")
}
