package document_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/document"
	"surgeonward/facilities/store"
)

func TestDiff(t *testing.T) {
	const before = `{"assets": [{"id": "a", "n": 1.0}, {"id": "b"}, {"x": 1}, {"id": "c"}], "note": "x"}`
	change := func(action, id, was, is string) store.Change {
		c := store.Change{Action: action, File: "fleet.json", Element: id}
		if was != "" {
			c.Before = []byte(was)
		}
		if is != "" {
			c.After = []byte(is)
		}
		return c
	}
	whole := change("change", "", "", "")
	for _, tt := range []struct {
		name, after string
		want        []store.Change
	}{
		{"nothing", before, nil},
		{"white space", "\n" + before, []store.Change{whole}},
		{"a number in another form", strings.Replace(before, "1.0", "1", 1), []store.Change{whole}},
		{"one element", strings.Replace(before, "1.0", "2", 1), []store.Change{change("change", "a", `{"id": "a", "n": 1.0}`, `{"id": "a", "n": 2}`)}},
		{"one more", strings.Replace(before, `{"id": "c"}`, `{"id": "d", "y": []}, {"id":"c"}`, 1), []store.Change{change("create", "d", "", `{"id": "d", "y": []}`)}},
		{"one less", strings.Replace(before, `{"id": "b"}, `, ``, 1), []store.Change{change("delete", "b", `{"id": "b"}`, "")}},
		{"another id", strings.Replace(before, `"b"`, `"e"`, 1), []store.Change{change("create", "e", "", `{"id": "e"}`), change("delete", "b", `{"id": "b"}`, "")}},
		{"another order", `{"assets": [{"id": "b"}, {"id": "a", "n": 1.0}, {"x": 1}, {"id": "c"}], "note": "x"}`, []store.Change{whole}},
		{"an element without an id", strings.Replace(before, `{"x": 1}`, `{"x": 2}`, 1), []store.Change{whole}},
		{"beside the elements", strings.Replace(before, `"note": "x"`, `"note": "y"`, 1), []store.Change{whole}},
		{"beside them, and one", strings.Replace(strings.Replace(before, "1.0", "2", 1), `"note": "x"`, `"note": "y"`, 1), []store.Change{
			change("change", "a", `{"id": "a", "n": 1.0}`, `{"id": "a", "n": 2}`), whole,
		}},
		{"no such file any more", `{}`, []store.Change{whole}},
		{"no JSON any more", `{`, []store.Change{whole}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, document.Diff("fleet.json", "assets", []byte(before), []byte(tt.after)))
		})
	}
}

func TestExplain(t *testing.T) {
	var long strings.Builder
	for i := range 60 {
		fmt.Fprintf(&long, `,{"id":"new-%d"}`, i)
	}
	before := map[string][]byte{
		"facilities.geojson": []byte(`{"features":[{"id":"x"}]}`), "settings.json": []byte("{}"), "roads.geojson": []byte("{}"),
	}
	after := map[string][]byte{
		"facilities.geojson": []byte(`{"features":[{"id":"x"}` + long.String() + `]}`), "settings.json": []byte("{} "), "fleet.json": []byte("{}"),
	}
	what, more := document.RegionArrays.Explain(before, after)
	require.Len(t, what, store.MaxChanges)
	assert.Equal(t, 13, more, "60 features, 3 files, of which 50 are named")
	what, more = document.RegionArrays.Explain(before, map[string][]byte{"facilities.geojson": before["facilities.geojson"], "settings.json": []byte("[]"), "fleet.json": nil})
	assert.Zero(t, more)
	assert.Equal(t, []store.Change{
		{Action: "create", File: "fleet.json"}, {Action: "delete", File: "roads.geojson"}, {Action: "change", File: "settings.json"},
	}, what)
	what, more = document.RegionArrays.Explain(before, before)
	assert.Empty(t, what)
	assert.Zero(t, more)
}
