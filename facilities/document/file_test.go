package document_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities/document"
	"surgeonward/testdata"
)

func read(t testing.TB, text, array string) *document.File {
	t.Helper()
	f, err := document.Read([]byte(text), array)
	require.NoError(t, err)
	return f
}

// demo reads the files of the demonstration region.
func demo(t testing.TB) map[string]*document.File {
	t.Helper()
	out := map[string]*document.File{}
	for name, array := range document.RegionArrays {
		data, err := fs.ReadFile(testdata.Demo, name)
		require.NoError(t, err)
		out[name] = read(t, string(data), array)
	}
	return out
}

// respelt is the same value as a program writes it: members by name, numbers as
// float64, no white space.
func respelt(t testing.TB, element []byte) []byte {
	var value any
	require.NoError(t, json.Unmarshal(element, &value))
	out, err := json.Marshal(value)
	require.NoError(t, err)
	return out
}

func compact(t testing.TB, element []byte) []byte {
	var out bytes.Buffer
	require.NoError(t, json.Compact(&out, element))
	return out.Bytes()
}

func TestReplaceBySameChangesNothing(t *testing.T) {
	for name, f := range demo(t) {
		var all []document.Element
		for _, e := range f.Elements() {
			got, there := f.Get(e.ID)
			require.True(t, there)
			require.Equal(t, string(e.Bytes), string(got))
			all = append(all, document.Element{ID: e.ID, Bytes: respelt(t, e.Bytes)})
		}
		got, err := f.Put(all...)
		require.NoError(t, err)
		assert.Equal(t, string(f.Bytes()), string(got.Bytes()), name)
	}
}

// TestInsertWritesAsTheFileDoes takes the last elements out and puts them back
// in without their white space: the file must have its old bytes.
func TestInsertWritesAsTheFileDoes(t *testing.T) {
	for name, f := range demo(t) {
		elements := f.Elements()
		for i := 1; i <= 8; i++ {
			last := elements[len(elements)-i:]
			without := f
			var back []document.Element
			for _, e := range last {
				var err error
				without, err = without.Delete(e.ID)
				require.NoError(t, err)
				back = append(back, document.Element{ID: e.ID, Bytes: compact(t, e.Bytes)})
			}
			got, err := without.Put(back...)
			require.NoError(t, err)
			assert.Equal(t, string(f.Bytes()), string(got.Bytes()), name)
		}
	}
}

func TestReplaceChangesOneLine(t *testing.T) {
	fleet := demo(t)["fleet.json"]
	was, _ := fleet.Get("heli-1")
	is, err := document.MergePatch(compact(t, was), []byte(`{"cruise_kt":138,"x_new":{"why":"tail rotor"}}`))
	require.NoError(t, err)
	got, err := fleet.Replace("heli-1", is)
	require.NoError(t, err)
	want := strings.Replace(string(fleet.Bytes()), `"cruise_kt": 137,`, `"cruise_kt": 138,`, 1)
	const last = `"night": {"typical_s": 660, "slow_s": 900}}`
	want = strings.Replace(want, last, last+",\n      \"x_new\": {\"why\": \"tail rotor\"}", 1)
	assert.Equal(t, want, string(got.Bytes()))
}

func TestManners(t *testing.T) {
	const added = `{"id":"c","n":[1,2],"o":{"p":null}}`
	for _, tt := range []struct{ name, file, inserted, replaced string }{
		{
			"one element on a line",
			"{\"type\": \"FeatureCollection\",\n\"features\": [\n{ \"id\": \"a\", \"n\": 1 },\n{ \"id\": \"b\", \"n\": 1 }\n]\n}\n",
			"{\"type\": \"FeatureCollection\",\n\"features\": [\n{ \"id\": \"a\", \"n\": 1 },\n{ \"id\": \"b\", \"n\": 1 },\n{ \"id\": \"c\", \"n\": [1, 2], \"o\": { \"p\": null } }\n]\n}\n",
			"{\"type\": \"FeatureCollection\",\n\"features\": [\n{ \"id\": \"a\", \"n\": [1, 2], \"o\": { \"p\": null } },\n{ \"id\": \"b\", \"n\": 1 }\n]\n}\n",
		},
		{
			"no white space",
			`{"features":[{"id":"a","n":1},{"id":"b"}]}`,
			`{"features":[{"id":"a","n":1},{"id":"b"},{"id":"c","n":[1,2],"o":{"p":null}}]}`,
			`{"features":[{"id":"a","n":[1,2],"o":{"p":null}},{"id":"b"}]}`,
		},
		{
			"every value on a line, tabs, CRLF",
			"{\r\n\t\"features\": [\r\n\t\t{\r\n\t\t\t\"id\": \"a\",\r\n\t\t\t\"n\": [\r\n\t\t\t\t3\r\n\t\t\t]\r\n\t\t}\r\n\t]\r\n}\r\n",
			"{\r\n\t\"features\": [\r\n\t\t{\r\n\t\t\t\"id\": \"a\",\r\n\t\t\t\"n\": [\r\n\t\t\t\t3\r\n\t\t\t]\r\n\t\t},\r\n\t\t{\r\n\t\t\t\"id\": \"c\",\r\n\t\t\t\"n\": [\r\n\t\t\t\t1,\r\n\t\t\t\t2\r\n\t\t\t],\r\n\t\t\t\"o\": {\r\n\t\t\t\t\"p\": null\r\n\t\t\t}\r\n\t\t}\r\n\t]\r\n}\r\n",
			"{\r\n\t\"features\": [\r\n\t\t{\r\n\t\t\t\"id\": \"a\",\r\n\t\t\t\"n\": [\r\n\t\t\t\t1,\r\n\t\t\t\t2\r\n\t\t\t],\r\n\t\t\t\"o\": {\r\n\t\t\t\t\"p\": null\r\n\t\t\t}\r\n\t\t}\r\n\t]\r\n}\r\n",
		},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f := read(t, tt.file, "features")
			got, err := f.Insert([]byte(added))
			require.NoError(t, err)
			assert.Equal(t, tt.inserted, string(got.Bytes()))
			got, err = got.Delete("c")
			require.NoError(t, err)
			assert.Equal(t, tt.file, string(got.Bytes()))
			got, err = f.Replace("a", []byte(strings.Replace(added, `"c"`, `"a"`, 1)))
			require.NoError(t, err)
			assert.Equal(t, tt.replaced, string(got.Bytes()))
		})
	}
}

func TestEmptyFile(t *testing.T) {
	f := read(t, string(document.New()), "features")
	require.Empty(t, f.Elements())
	got, err := f.Put(document.Element{ID: "a", Bytes: []byte(`{"id":"a"}`)}, document.Element{ID: "b", Bytes: []byte(`{"id":"b"}`)})
	require.NoError(t, err)
	assert.Equal(t, "{\n  \"type\": \"FeatureCollection\",\n  \"features\": [\n    {\"id\": \"a\"},\n    {\"id\": \"b\"}\n  ]\n}\n", string(got.Bytes()))
	got, err = got.Put(document.Element{ID: "a"}, document.Element{ID: "b"}, document.Element{ID: "never there"})
	require.NoError(t, err)
	assert.Equal(t, string(document.New()), string(got.Bytes()))
	same, err := f.Put()
	require.NoError(t, err)
	assert.Equal(t, string(document.New()), string(same.Bytes()))
}

func TestRefusals(t *testing.T) {
	f := read(t, `{"x":{"assets":[{"id":"inner"}]},"assets":[{"id":"a"},{"ID":"no"},{"id":7},5,{"id":"b\u002fc"}]}`, "assets")
	var ids []string
	for _, e := range f.Elements() {
		ids = append(ids, e.ID)
	}
	require.Equal(t, []string{"a", "", "", "", "b/c"}, ids)
	for _, id := range []string{"", "no", "7", "inner", "b\\u002fc"} {
		_, there := f.Get(id)
		assert.False(t, there, id)
		_, err := f.Delete(id)
		require.ErrorIs(t, err, document.ErrNotFound, id)
		_, err = f.Replace(id, []byte(`{}`))
		require.ErrorIs(t, err, document.ErrNotFound, id)
	}
	for _, element := range []string{``, `{`, `{}`, `[]`, `5`, `{"id":""}`, `{"id":null}`, `{"ID":"x"}`, `{"id":"x","id":"y"}`, `{"id":"x"} x`} {
		_, err := f.Insert([]byte(element))
		require.ErrorIs(t, err, document.ErrElement, element)
		_, err = f.Replace("a", []byte(element))
		require.ErrorIs(t, err, document.ErrElement, element)
	}
	_, err := f.Insert([]byte(`{"id":"a"}`))
	require.ErrorIs(t, err, document.ErrExists)
	_, err = f.Replace("a", []byte(`{"id":"b"}`))
	require.ErrorIs(t, err, document.ErrElement)
	_, err = f.Put(document.Element{ID: "x"}, document.Element{ID: "x"})
	require.ErrorIs(t, err, document.ErrElement)

	for _, text := range []string{`{}`, `[]`, `{"assets":{}}`, `{"assets":null}`, `{"a":{"assets":[]}}`, `{"assets":[{"id":"a"},{"id":"\u0061"}]}`} {
		_, err := document.Read([]byte(text), "assets")
		require.Error(t, err, text)
		require.NotErrorIs(t, err, document.ErrSyntax, text)
	}
	for _, text := range []string{``, `{"assets":[}`, `{"assets":[]`, `{"assets":[],"assets":[]}`, "{\"assets\":[\"\xff\"]}"} {
		_, err := document.Read([]byte(text), "assets")
		require.ErrorIs(t, err, document.ErrSyntax, text)
	}
}

// TestEditsLeaveOthersAlone: whatever is edited, other elements and what stands
// around the array keep their bytes, and those edited get their value.
func TestEditsLeaveOthersAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.SampledFrom([]string{"", " ", "\n", "\n  ", "\r\n\t"})
		element := func(id string) string {
			return fmt.Sprintf(`{"id":%s"%s",%s"v": %s}`, gap.Draw(t, "gap"), id, gap.Draw(t, "gap"), anyJSON(3).Draw(t, "value"))
		}
		var parts []string
		var ids []string
		for i := range rapid.IntRange(0, 5).Draw(t, "elements") {
			ids = append(ids, fmt.Sprint("e", i))
			parts = append(parts, element(ids[i]))
		}
		head, tail := `{"x": [1,{"assets":[]} ],"assets":`, "\n,\"y\" :1.0}\n"
		text := head + "[" + gap.Draw(t, "gap") + strings.Join(parts, gap.Draw(t, "gap")+","+gap.Draw(t, "gap")) + gap.Draw(t, "gap") + "]" + tail
		f, err := document.Read([]byte(text), "assets")
		require.NoError(t, err)

		var edits []document.Element
		want := map[string]string{}
		var order []string
		for i, id := range append(slices.Clone(ids), "new-1", "new-2") {
			switch what := rapid.SampledFrom([]string{"leave", "replace", "delete"}).Draw(t, id); {
			case what == "replace":
				text := element(id)
				edits = append(edits, document.Element{ID: id, Bytes: []byte(text)})
				want[id], order = text, append(order, id)
			case what == "delete":
				edits = append(edits, document.Element{ID: id})
			case i < len(ids):
				want[id], order = "", append(order, id)
			}
		}
		got, err := f.Put(edits...)
		require.NoError(t, err)
		require.True(t, strings.HasPrefix(string(got.Bytes()), head) && strings.HasSuffix(string(got.Bytes()), tail))
		var is []string
		for _, e := range got.Elements() {
			is = append(is, e.ID)
			if want[e.ID] == "" {
				old, _ := f.Get(e.ID)
				require.Equal(t, string(old), string(e.Bytes))
			} else {
				require.Equal(t, decoded(t, []byte(want[e.ID])), decoded(t, e.Bytes))
			}
		}
		require.Equal(t, order, is)
	})
}

func FuzzPut(f *testing.F) {
	for _, text := range []string{
		`{"assets":[]}`, `{"assets":[{"id":"a"},{"id":"b"}]}`, "{\n  \"assets\" : [ {\"id\":\"a\",\n\"x\":[\n1,2]}\n]}", `{"assets":[1,[],{"id":{}}]}`,
	} {
		f.Add(text, `{"id":"a","x":[1,{}]}`)
		f.Add(text, `{"id":"\"","y":{"z":[[]]}}`)
	}
	f.Fuzz(func(t *testing.T, text, element string) {
		file, err := document.Read([]byte(text), "assets")
		if err != nil {
			return
		}
		with, err := file.Insert([]byte(element))
		if err != nil {
			return
		}
		elements := with.Elements()
		last := elements[len(elements)-1]
		same, err := with.Replace(last.ID, []byte(element))
		require.NoError(t, err)
		require.Equal(t, string(with.Bytes()), string(same.Bytes()))
		require.Empty(t, document.Diff("f", "assets", with.Bytes(), same.Bytes()))
		changes := document.Diff("f", "assets", file.Bytes(), with.Bytes())
		require.Len(t, changes, 1)
		require.Equal(t, "create", changes[0].Action)
		without, err := with.Delete(last.ID)
		require.NoError(t, err)
		if len(elements) > 1 {
			require.Equal(t, text, string(without.Bytes()))
		}
	})
}
