package document_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"surgeonward/facilities/document"
)

// Source of every row: the definition of ValueChanges.
func TestValueChanges(t *testing.T) {
	type change struct{ pointer, before, after string }
	const nothing = "nothing"
	for _, tt := range []struct {
		name, before, after string
		want                []change
	}{
		{"the same", `{"a":1,"b":[1,2]}`, ` { "b":[1.0,2], "a":1e0 }`, nil},
		{"a value", `{"a":{"b":1,"c":2}}`, `{"a":{"b":3,"c":2}}`, []change{{"/a/b", "1", "3"}}},
		{"gone and new", `{"a":1,"x":null}`, `{"b":{"c":1},"x":null}`, []change{{"/a", "1", nothing}, {"/b", nothing, `{"c":1}`}}},
		{"an item", `{"a":[1,{"b":2},3]}`, `{"a":[1,{"b":4},3]}`, []change{{"/a/1/b", "2", "4"}}},
		{"two of one parent", `{"a":[[1],[2]]}`, `{"a":[[3],[4]]}`, []change{{"/a/0/0", "1", "3"}, {"/a/1/0", "2", "4"}}},
		{"another length", `{"a":[1,2]}`, `{"a":[1]}`, []change{{"/a", "[1,2]", "[1]"}}},
		{"another kind", `{"a":{}}`, `{"a":[]}`, []change{{"/a", "{}", "[]"}}},
		{"escaped names", `{"a/b~c":1}`, `{"a\/b~c":2}`, []change{{"/a~1b~0c", "1", "2"}}},
		{"created", nothing, `{"a":1}`, []change{{"", nothing, `{"a":1}`}}},
		{"deleted", `{"a":1}`, nothing, []change{{"", `{"a":1}`, nothing}}},
		{"no JSON", `{"a":`, `{"a":1}`, []change{{"", `{"a":`, `{"a":1}`}}},
		{"the same of no JSON", `{"a":`, `{"a":`, nil},
		{"neither", nothing, nothing, nil},
	} {
		text := func(s string) []byte {
			if s == nothing {
				return nil
			}
			return []byte(s)
		}
		words := func(b []byte) string {
			if b == nil {
				return nothing
			}
			return string(b)
		}
		var got []change
		for _, c := range document.ValueChanges(text(tt.before), text(tt.after)) {
			got = append(got, change{c.Pointer, words(c.Before), words(c.After)})
		}
		assert.Equal(t, tt.want, got, tt.name)
	}
}
