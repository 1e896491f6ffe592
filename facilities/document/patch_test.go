package document_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities/document"
)

func TestMergePatchVectors(t *testing.T) {
	const source = "RFC 7396 appendix A, in its order"
	for _, tt := range []struct{ target, patch, want string }{
		{`{"a":"b"}`, `{"a":"c"}`, `{"a":"c"}`},
		{`{"a":"b"}`, `{"b":"c"}`, `{"a":"b","b":"c"}`},
		{`{"a":"b"}`, `{"a":null}`, `{}`},
		{`{"a":"b","b":"c"}`, `{"a":null}`, `{"b":"c"}`},
		{`{"a":["b"]}`, `{"a":"c"}`, `{"a":"c"}`},
		{`{"a":"c"}`, `{"a":["b"]}`, `{"a":["b"]}`},
		{`{"a":{"b":"c"}}`, `{"a":{"b":"d","c":null}}`, `{"a":{"b":"d"}}`},
		{`{"a":[{"b":"c"}]}`, `{"a":[1]}`, `{"a":[1]}`},
		{`["a","b"]`, `["c","d"]`, `["c","d"]`},
		{`{"a":"b"}`, `["c"]`, `["c"]`},
		{`{"a":"foo"}`, `null`, `null`},
		{`{"a":"foo"}`, `"bar"`, `"bar"`},
		{`{"e":null}`, `{"a":1}`, `{"e":null,"a":1}`},
		{`[1,2]`, `{"a":"b","c":null}`, `{"a":"b"}`},
		{`{}`, `{"a":{"bb":{"ccc":null}}}`, `{"a":{"bb":{}}}`},
	} {
		t.Run(tt.target+" "+tt.patch, func(t *testing.T) {
			got, err := document.MergePatch([]byte(tt.target), []byte(tt.patch))
			require.NoError(t, err)
			assert.JSONEq(t, tt.want, string(got), source)
		})
	}
}

// RFC 7396 section 3: the example of a resource and its patch, with the layout
// that the document there has.
func TestMergePatchKeepsLayout(t *testing.T) {
	target := `{
       "title": "Goodbye!",
       "author" : {
      "givenName" : "John",
      "familyName" : "Doe"
       },
       "tags":[ "example", "sample" ],
       "content": "This will be unchanged"
     }
`
	got, err := document.MergePatch([]byte(target), []byte(`{
       "title": "Hello!",
       "phoneNumber": "+01-123-456-7890",
       "author": {
      "familyName": null
       },
       "tags": [ "example" ]
     }`))
	require.NoError(t, err)
	assert.Equal(t, `{
       "title": "Hello!",
       "author" : {
      "givenName" : "John"
       },
       "tags":[ "example" ],
       "content": "This will be unchanged",
       "phoneNumber": "+01-123-456-7890"
     }
`, string(got))
}

func TestMergePatchKeepsText(t *testing.T) {
	for _, tt := range []struct{ name, target, patch, want string }{
		{"nothing", "\r\n{ \"a\":1.0e0 }\n\n", `{}`, "\r\n{ \"a\":1.0e0 }\n\n"},
		{"an equal number", `{"a": 9.0e3, "b": -0.0}`, `{"a":9000,"b":0}`, `{"a": 9.0e3, "b": -0.0}`},
		{"an equal text", `{"a": "\u00e9"}`, `{"a":"é"}`, `{"a": "\u00e9"}`},
		{"a number that no float64 tells apart", `{"a": 0.1}`, `{"a":0.10000000000000000001}`, `{"a": 0.10000000000000000001}`},
		{"numbers that no float64 holds", `{"a": 1e999, "b": 1E+999}`, `{"a":10e998,"b":1e1000}`, `{"a": 1e999, "b": 1e1000}`},
		{"an exponent beyond counting", `{"a": 1e99999999999999999999}`, `{"a":10e99999999999999999998}`, `{"a": 10e99999999999999999998}`},
		{"a name in another form", `{"\u0061": 1}`, `{"a":2}`, `{"\u0061": 2}`},
		{"members in another order", `{"a": {"x": 1, "y": [1, 2]}}`, `{"a":{"y":[1,2],"x":1}}`, `{"a": {"x": 1, "y": [1, 2]}}`},
		{"a value in an array", `{"a": [1.0, 2, 3.0]}`, `{"a":[1,5,3]}`, `{"a": [1.0, 5, 3.0]}`},
		{"a value put into an array", `{"a": [1.0, 3.0]}`, `{"a":[1,2,3]}`, `{"a": [1.0, 2, 3.0]}`},
		{"a value put before an array", `{"a": [ 1.0,3.0 ]}`, `{"a":[0,1,3]}`, `{"a": [ 0,1.0,3.0 ]}`},
		{"a value taken from an array", `{"a": [1.0,  2, 3.0]}`, `{"a":[1,3]}`, `{"a": [1.0, 3.0]}`},
		{"all values taken from an array", `{"a": [ 1 ]}`, `{"a":[]}`, `{"a": []}`},
		{"the first member", "{\n  \"a\": 1,\n  \"b\": 2\n}", `{"a":null}`, "{\n  \"b\": 2\n}"},
		{"the last member", "{\n  \"a\": 1,\n  \"b\": 2\n}", `{"b":null}`, "{\n  \"a\": 1\n}"},
		{"a member between", "{\n  \"a\": 1,\n  \"b\": 2,\n  \"c\": 3\n}", `{"b":null}`, "{\n  \"a\": 1,\n  \"c\": 3\n}"},
		{"an added member", "{\r\n\t\"a\": 1\r\n}", `{"b":[]}`, "{\r\n\t\"a\": 1,\r\n\t\"b\": []\r\n}"},
		{"a member in an empty object", "{\n  \"a\": {}\n}", `{"a":{"b":1}}`, "{\n  \"a\": {\"b\": 1}\n}"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := document.MergePatch([]byte(tt.target), []byte(tt.patch))
			require.NoError(t, err)
			assert.Equal(t, tt.want, string(got))
		})
	}
}

func TestMergePatchOfOtherText(t *testing.T) {
	for _, text := range []string{``, ` `, `{`, `{}}`, `{} {}`, `{"a":1,"a":2}`, `{"a":1,"\u0061":2}`, "\"\xff\"", `[1,]`, `{"a"}`, `01`, `nul`, "\ufeff{}"} {
		_, err := document.MergePatch([]byte(text), []byte(`{}`))
		require.ErrorIs(t, err, document.ErrSyntax, "%q", text)
		_, err = document.MergePatch([]byte(`{}`), []byte(text))
		require.ErrorIs(t, err, document.ErrSyntax, "%q", text)
	}
}

// plainMerge is the function of RFC 7396 section 2, word for word.
func plainMerge(target, patch any) any {
	object, ok := patch.(map[string]any)
	if !ok {
		return patch
	}
	out, ok := target.(map[string]any)
	if !ok {
		out = map[string]any{}
	}
	for name, value := range object {
		if value == nil {
			delete(out, name)
		} else {
			out[name] = plainMerge(out[name], value)
		}
	}
	return out
}

func decoded(t require.TestingT, text []byte) (value any) {
	require.NoError(t, json.Unmarshal(text, &value), "%s", text)
	return value
}

// anyJSON draws a text with few names, so that targets and patches meet, and
// with any white space.
func anyJSON(depth int) *rapid.Generator[string] {
	gap := rapid.SampledFrom([]string{"", "", " ", "\n", "\n  ", "\r\n\t"})
	return rapid.Custom(func(t *rapid.T) string {
		kinds := []string{"1", "1.0", "10e-1", "-0", `"x"`, `"\u0078"`, "null", "true"}
		if depth > 0 {
			kinds = append(kinds, "{", "{", "{", "[", "[")
		}
		open := rapid.SampledFrom(kinds).Draw(t, "kind")
		if open != "{" && open != "[" {
			return open
		}
		out := open + gap.Draw(t, "gap")
		names := rapid.Permutation([]string{`"a"`, `"b"`, `"\u0063"`, `"d"`}).Draw(t, "names")
		for i := range rapid.IntRange(0, 4).Draw(t, "count") {
			if i > 0 {
				out += gap.Draw(t, "gap") + "," + gap.Draw(t, "gap")
			}
			if open == "{" {
				out += names[i] + gap.Draw(t, "gap") + ":" + gap.Draw(t, "gap")
			}
			out += anyJSON(depth-1).Draw(t, "value")
		}
		return out + gap.Draw(t, "gap") + string(open[0]+2)
	})
}

func TestMergePatchMeansWhatTheRFCSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		target, patch := anyJSON(4).Draw(t, "target"), anyJSON(4).Draw(t, "patch")
		got, err := document.MergePatch([]byte(target), []byte(patch))
		require.NoError(t, err)
		require.Equal(t, plainMerge(decoded(t, []byte(target)), decoded(t, []byte(patch))), decoded(t, got))
		again, err := document.MergePatch(got, []byte(patch))
		require.NoError(t, err)
		require.Equal(t, string(got), string(again), "once more changes nothing")
	})
}

func FuzzMergePatch(f *testing.F) {
	for _, text := range []string{`{"a":{"b":[1,2,{"c":null}]}}`, ` [ ] `, `{"\ud83d\ude81":1e400}`, `"\\\""`, "[[[[[[[[]]]]]]]]", `{"":""}`} {
		f.Add(text, `{"a":{"b":[2]}}`)
		f.Add(`{"a":1}`, text)
	}
	f.Fuzz(func(t *testing.T, target, patch string) {
		got, err := document.MergePatch([]byte(target), []byte(patch))
		if err != nil {
			return
		}
		again, err := document.MergePatch(got, []byte(patch))
		require.NoError(t, err)
		require.Equal(t, string(got), string(again))
		same, err := document.MergePatch([]byte(target), []byte("{}"))
		require.NoError(t, err)
		if target[0] == '{' {
			require.Equal(t, target, string(same))
		}
	})
}
