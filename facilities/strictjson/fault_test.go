package strictjson_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"surgeonward/facilities/strictjson"
)

func TestPointer(t *testing.T) {
	tests := []struct {
		name, source, want string
		tokens             []string
	}{
		{"whole document", "RFC 6901 section 5", "", nil},
		{"member", "RFC 6901 section 5", "/foo", []string{"foo"}},
		{"array item", "RFC 6901 section 5", "/foo/0", []string{"foo", "0"}},
		{"empty name", "RFC 6901 section 5", "/", []string{""}},
		{"slash", "RFC 6901 section 5", "/a~1b", []string{"a/b"}},
		{"tilde", "RFC 6901 section 5", "/m~0n", []string{"m~n"}},
		{"percent stays", "RFC 6901 section 5", "/c%d", []string{"c%d"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, strictjson.Pointer(tt.tokens...), tt.source)
		})
	}
}

func TestSort(t *testing.T) {
	got := strictjson.Sort([]strictjson.Fault{
		{Pointer: "/a/10", Detail: "x"}, {Pointer: "/a/2", Detail: "x"}, {Pointer: "/b", Detail: "x"},
		{Pointer: "/a", Detail: "z"}, {Pointer: "/a", Detail: "x"}, {Pointer: "/a/2/c", Detail: "x"},
		{Pointer: "", Detail: "x"}, {Pointer: "/a/2", Detail: "x"}, {Pointer: "/a/-", Detail: "x"},
	})
	assert.Equal(t, []strictjson.Fault{
		{Pointer: "", Detail: "x"}, {Pointer: "/a", Detail: "x"}, {Pointer: "/a", Detail: "z"},
		{Pointer: "/a/2", Detail: "x"}, {Pointer: "/a/2/c", Detail: "x"}, {Pointer: "/a/10", Detail: "x"},
		{Pointer: "/a/-", Detail: "x"}, {Pointer: "/b", Detail: "x"},
	}, got)
}
