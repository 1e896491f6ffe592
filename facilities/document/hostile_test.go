package document_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/document"
)

// TestNestedJunk: deep nesting is refused, or read without the work growing with
// the depth for every value.
func TestNestedJunk(t *testing.T) {
	nest := func(depth int, core string) []byte {
		return []byte(strings.Repeat("[[1],", depth) + core + strings.Repeat("]", depth))
	}
	_, err := document.MergePatch(nest(100_000, "1"), []byte("{}"))
	require.ErrorIs(t, err, document.ErrSyntax)
	_, err = document.Read(nest(100_000, "1"), "assets")
	require.ErrorIs(t, err, document.ErrSyntax)
	const depth = 5000
	for _, core := range []string{"2", "1,1", "{}"} {
		got, err := document.MergePatch(nest(depth, "1"), nest(depth, core))
		require.NoError(t, err)
		assert.Equal(t, string(nest(depth, core)), string(got))
	}
}

func TestManyElements(t *testing.T) {
	const one = `{"id":"a","x":[1,2,{"y":null}]},`
	text := `{"assets":[` + strings.Repeat(strings.Replace(one, `"id":"a"`, `"n":0`, 1), 100_000) + one[:len(one)-1] + `]}`
	f := read(t, text, "assets")
	require.Len(t, f.Elements(), 100_001)
	got, err := f.Replace("a", []byte(`{"id":"a","x":[1,2,{"y":1}]}`))
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(text, `"a","x":[1,2,{"y":null}]`, `"a","x":[1,2,{"y":1}]`, 1), string(got.Bytes()))
}
