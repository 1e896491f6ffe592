package facilities_test

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
)

func schemaTree(t *testing.T) map[string]any {
	t.Helper()
	var tree map[string]any
	require.NoError(t, json.Unmarshal(facilities.Schema(), &tree))
	return tree
}

func TestSchemaAcceptsTheExample(t *testing.T) {
	s, err := strictjson.Compile(facilities.SchemaName, map[string][]byte{facilities.SchemaName: facilities.Schema()})
	require.NoError(t, err)
	_, faults := s.Check(example(t), strictjson.Limits{})
	assert.Empty(t, faults)
	_, faults = s.Check(collection(site("a", `,"runway_m":5`)), strictjson.Limits{})
	assert.Len(t, faults, 1, "an editor that knows only the schema finds a member of the wrong kind too")
}

// a file of another part of the region can state a duration in the same form
func TestSchemaServesOthers(t *testing.T) {
	s, err := strictjson.Compile("other.json", map[string][]byte{
		facilities.SchemaName: facilities.Schema(),
		"other.json":          []byte(`{"$ref": "facilities.schema.json#/$defs/timing"}`),
	})
	require.NoError(t, err)
	_, faults := s.Check([]byte(`{"typical_s":1}`), strictjson.Limits{})
	assert.Len(t, faults, 1)
}

func TestSchemaDescribesEveryMember(t *testing.T) {
	tree := schemaTree(t)
	defs := tree["$defs"].(map[string]any)
	units := map[string]string{"_s": "econds", "_m": "metres", "_kg": "kilograms"}
	var walk func(at string, v any)
	walk = func(at string, v any) {
		m, ok := v.(map[string]any)
		if !ok {
			if list, ok := v.([]any); ok {
				for _, item := range list {
					walk(at, item)
				}
			}
			return
		}
		for name, member := range properties(m) {
			schema := member.(map[string]any)
			text, _ := schema["description"].(string)
			if ref, ok := schema["$ref"].(string); ok && text == "" {
				target := defs[strings.TrimPrefix(ref, "#/$defs/")].(map[string]any)
				text, _ = target["description"].(string)
				if _, refused := target["not"]; refused {
					continue
				}
			}
			_, fixed := schema["const"]
			_, listed := schema["enum"]
			structural := name == "type" || name == "otherwise" || name == "weekly" || name == "exceptions" || name == "properties" || name == "kind"
			assert.True(t, text != "" || fixed || listed || structural, "%s/%s has no description", at, name)
			for suffix, unit := range units {
				if strings.HasSuffix(name, suffix) {
					assert.Contains(t, text, unit, "%s/%s", at, name)
				}
			}
		}
		for _, name := range slices.Sorted(maps.Keys(m)) {
			members, isMap := m[name].(map[string]any)
			if !isMap || (name != "properties" && name != "$defs") {
				walk(at+"/"+name, m[name])
				continue
			}
			for member, schema := range members { // names of members, not keywords
				walk(at+"/"+member, schema)
			}
		}
	}
	walk("", tree)
}

func properties(m map[string]any) map[string]any {
	p, _ := m["properties"].(map[string]any)
	if _, isType := m["type"]; !isType {
		return nil // a condition, or a member of that name
	}
	return p
}

func TestVocabulary(t *testing.T) {
	var words []string
	for _, c := range facilities.Vocabulary() {
		words = append(words, c.Word)
		assert.NotEmpty(t, c.Description, c.Word)
	}
	assert.True(t, slices.IsSorted(words))
	assert.Equal(t, words, slices.Compact(slices.Clone(words)))
	assert.Subset(t, words, []string{facilities.CardiothoracicSurgery, facilities.PaediatricCardiothoracicSurgery})

	// an editor offers the words that the schema lists
	props := schemaTree(t)["$defs"].(map[string]any)["properties"].(map[string]any)["properties"].(map[string]any)
	items := props["capabilities"].(map[string]any)["items"].(map[string]any)
	var listed []string
	for _, w := range items["anyOf"].([]any)[0].(map[string]any)["enum"].([]any) {
		listed = append(listed, w.(string))
	}
	assert.Equal(t, words, listed)
}

// a member that the schema knows must be one that the decoder knows for some kind, or
// a slip of the pen for it would be taken for a foreign member
func TestEveryMemberHasItsNearMissFound(t *testing.T) {
	props := schemaTree(t)["$defs"].(map[string]any)["properties"].(map[string]any)["properties"].(map[string]any)
	for name := range props {
		slip := strings.ToUpper(name)
		_, errs, _ := decode(collection(feature("a", here, `"name":"x","`+slip+`":1`)))
		assert.Contains(t, brief(errs), `/features/0/properties/`+slip+`: unknown field "`+slip+`": did you mean "`+name+`"?`)
	}
}
