package facilities_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
)

func TestListLooksUp(t *testing.T) {
	list, errs, _ := decode(collection(base("c", here), site("b", ""), base("a", here), hospital("d", "")))
	require.Empty(t, errs)
	assert.Equal(t, 4, list.Len())
	assert.Equal(t, []string{"a", "b", "c", "d"}, ids(list.All()), "in the order of the ids, not of the file")
	assert.Equal(t, []string{"a", "c"}, ids(list.OfKind(facilities.Base)))
	assert.Empty(t, list.OfKind(facilities.Airfield))
	_, ok := list.Get("e")
	assert.False(t, ok)
}

func ids(all []*facilities.Facility) []string {
	out := []string{}
	for _, f := range all {
		out = append(out, f.ID)
	}
	return out
}

func TestListIsASnapshot(t *testing.T) {
	data := collection(base("a", here), base("b", here))
	before := string(data)
	list, _, _ := decode(data)
	for i := range data {
		data[i] = 'x'
	}
	list.All()[0] = nil
	list.OfKind(facilities.Base)[0] = nil
	list.Encode()[0] = 'x'
	assert.Equal(t, before, string(list.Encode()))
	assert.Equal(t, []string{"a", "b"}, ids(list.All()))
	assert.Equal(t, []string{"a", "b"}, ids(list.OfKind(facilities.Base)))
}

func TestHash(t *testing.T) {
	hash := func(text string) string {
		list, errs, _ := decode([]byte(text))
		require.Empty(t, errs)
		return list.Hash()
	}
	const a = `{"type":"FeatureCollection","features":[{"type":"Feature","id":"a","geometry":{"type":"Point","coordinates":[-29.5,45.5]},"properties":{"kind":"base","name":"Å","n":9007199254740993}}]}`
	assert.Regexp(t, regexp.MustCompile(`^[0-9a-f]{64}$`), hash(a))
	same := []struct{ name, source, text string }{
		{"white space", "RFC 8785 section 3.2.1", strings.ReplaceAll(a, ",", " ,\n\t")},
		{"order of members", "RFC 8785 section 3.2.3", `{"features":[{"properties":{"n":9007199254740993,"name":"Å","kind":"base"},"geometry":{"coordinates":[-29.5,45.5],"type":"Point"},"id":"a","type":"Feature"}],"type":"FeatureCollection"}`},
		{"text of a number", "RFC 8785 section 3.2.2.3", strings.Replace(a, "-29.5", "-2.950e1", 1)},
		{"escape in a string", "RFC 8785 section 3.2.2.2", strings.Replace(a, "Å", `\u00c5`, 1)},
	}
	for _, tt := range same {
		assert.Equal(t, hash(a), hash(tt.text), "%s: %s", tt.name, tt.source)
	}
	for name, text := range map[string]string{
		"a position":                   strings.Replace(a, "45.5", "45.6", 1),
		"a foreign member":             strings.Replace(a, `"n"`, `"m"`, 1),
		"the last digit beyond 2^53":   strings.Replace(a, "993", "992", 1),
		"a member beside the features": strings.Replace(a, `{"type":"FeatureCollection"`, `{"edited":1,"type":"FeatureCollection"`, 1),
	} {
		assert.NotEqual(t, hash(a), hash(text), name)
	}
}

// whatever stands in a file beside what is read, it comes back byte for byte and
// changes nothing that is read
func TestForeignMembersSurvive(t *testing.T) {
	plain, errs, _ := decode(example(t))
	require.Empty(t, errs)
	rapid.Check(t, func(rt *rapid.T) {
		text := string(example(t))
		for _, before := range []string{`"type": "FeatureCollection"`, `"type": "Feature"`, `"type": "Point"`, `"kind": `} {
			members := rapid.SliceOfNDistinct(rapid.StringMatching(`survey[A-Z]_[a-z0-9:å~/ ]{1,12}`), 0, 3, rapid.ID).Draw(rt, "names")
			for _, name := range members {
				member := fmt.Sprintf("%q: %s, ", name, foreignValue(rt, 3))
				text = strings.Replace(text, before, member+before, 1) // the first of its kind
			}
		}
		list, errs, _ := decode([]byte(text))
		if len(errs) > 0 {
			rt.Fatalf("%v in %s", errs, text)
		}
		if got := string(list.Encode()); got != text {
			rt.Fatalf("encoded differently: %s", cmp.Diff(text, got))
		}
		again, errs, _ := decode(list.Encode())
		if len(errs) > 0 || again.Hash() != list.Hash() {
			rt.Fatalf("round trip: %v", errs)
		}
		if fmt.Sprintf("%+v", describe(list)) != fmt.Sprintf("%+v", describe(plain)) {
			rt.Fatalf("foreign members changed what is read")
		}
	})
}

func foreignValue(rt *rapid.T, depth int) string {
	kinds := 4
	if depth > 0 {
		kinds = 6
	}
	switch rapid.IntRange(0, kinds-1).Draw(rt, "kind") {
	case 0:
		return rapid.SampledFrom([]string{"null", "true", "false"}).Draw(rt, "word")
	case 1:
		return rapid.SampledFrom([]string{"0", "-0", "1.0", "1.50", "1E5", "9007199254740993", "0.1e-7", "1e308", "5e-324"}).Draw(rt, "number")
	case 2:
		text, _ := json.Marshal(rapid.String().Draw(rt, "text"))
		return string(text)
	case 3:
		return `"\u00e5\/\ud83d\ude80"`
	case 4:
		return "[" + foreignValue(rt, depth-1) + " ,\t" + foreignValue(rt, depth-1) + "]"
	}
	return `{ "typical_s":` + foreignValue(rt, depth-1) + `, "name" : ` + foreignValue(rt, depth-1) + "}"
}

// describe writes out everything that was read, without pointers.
func describe(list *facilities.List) []string {
	var out []string
	for _, f := range list.All() {
		text, _ := json.Marshal(f)
		out = append(out, string(text))
	}
	return out
}

// the order of members is the editor's, and Go's map order is nobody's
func TestOrderOfMembersDoesNotMatter(t *testing.T) {
	want, errs, _ := decode(example(t))
	require.Empty(t, errs)
	var doc any
	require.NoError(t, json.Unmarshal(example(t), &doc))
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		list, errs, _ := decode([]byte(shuffled(rng, doc)))
		require.Empty(t, errs)
		assert.Equal(t, describe(want), describe(list))
	}
	// json.Unmarshal rounds the survey number, so that hashes compare among the shuffled
	a, _, _ := decode([]byte(shuffled(rng, doc)))
	b, _, _ := decode([]byte(shuffled(rng, doc)))
	assert.Equal(t, a.Hash(), b.Hash())

	bad := collection(strings.Replace(hospital("a", `,"x":1,"accepting":{"a":1,"b":2,"c":3,"d":4},"pad":{"e":1,"f":1},"lit":1,"fuel":2,"runway_m":3,"hours":4`), `"ecmo"`, `"ecmo","burms","x"`, 1))
	_, first, warnings := decode(bad)
	require.Greater(t, len(first), 8)
	for range 20 {
		_, again, warningsAgain := decode(bad)
		assert.Equal(t, first, again)
		assert.Equal(t, warnings, warningsAgain)
	}
}

func shuffled(rng *rand.Rand, v any) string {
	switch v := v.(type) {
	case map[string]any:
		var members []string
		for name, member := range v {
			members = append(members, fmt.Sprintf("%q:%s", name, shuffled(rng, member)))
		}
		rng.Shuffle(len(members), func(i, j int) { members[i], members[j] = members[j], members[i] })
		return "{" + strings.Join(members, ",") + "}"
	case []any:
		var items []string
		for _, item := range v {
			items = append(items, shuffled(rng, item))
		}
		return "[" + strings.Join(items, ",") + "]"
	}
	text, _ := json.Marshal(v)
	return string(text)
}
