package api

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Source of every row: the two texts themselves, and RFC 6901 for the places.
func TestFirstDifference(t *testing.T) {
	for _, tt := range []struct{ name, recorded, now, want string }{
		{"a number", `{"a":1,"b":{"c":[1,2]}}`, `{"a":1,"b":{"c":[1,3]}}`, "/b/c/1: recorded 2, now 3"},
		{"a text", `{"a":"x"}`, `{"a":"y"}`, `/a: recorded "x", now "y"`},
		{"with the id of what it is in", `{"o":[{"id":"p"},{"id":"q","total":{"s":1}}]}`, `{"o":[{"id":"p"},{"id":"q","total":{"s":2}}]}`, "/o/1/total/s (of q): recorded 1, now 2"},
		{"a kind", `{"a":null}`, `{"a":{"b":1}}`, "/a: recorded null, now an object"},
		{"a list for a truth", `{"a":[1]}`, `{"a":true}`, "/a: recorded a list, now true"},
		{"one more", `{"a":[1]}`, `{"a":[1,2]}`, "/a/1: not in the recorded one"},
		{"one less", `{"a":[1,2]}`, `{"a":[1]}`, "/a/1: only in the recorded one"},
		{"a member more", `{"a":1}`, `{"a":1,"b":2}`, "/b: not in the recorded one"},
		{"another member", `{"a":1}`, `{"b":1}`, "recorded /a, now /b in its place"},
		{"escaped names", `{"a/b":{"~":1}}`, `{"a/b":{"~":2}}`, "/a~1b/~0: recorded 1, now 2"},
		{"white space", `{"a": 1}`, `{"a":1}`, ""},
		{"passed over", `{"v":{"x":"1","y":"2"},"a":1}`, `{"v":{"x":"3","y":"4"},"a":2}`, "/a: recorded 1, now 2"},
		{"passed over alone", `{"v":"1","a":1}`, `{"v":"2","a":1}`, ""},
		{"of another name", `{"vv":"1"}`, `{"vv":"2"}`, `/vv: recorded "1", now "2"`},
		{"a member less in what is passed over", `{"v":{"x":1,"y":2},"a":1}`, `{"v":{"x":1},"a":1}`, "/v/y: only in the recorded one"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, firstDifference([]byte(tt.recorded), []byte(tt.now), "v"))
		})
	}
}
