package api_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDocumentHasEveryWord: the words the engine answers with are those of the
// document's lists, no more and no fewer. Source: the engine's own constants.
func TestDocumentHasEveryWord(t *testing.T) {
	words := constants(t, "../routing")
	d := served(t, handler(t), false)
	for schema, kind := range map[string]string{
		"ReasonCode": "ReasonCode", "ActivityKind": "ActivityKind", "Shape": "Shape", "Lane": "Lane", "Hazard": "Hazard", "Landing": "Landing",
		"AssetKind": "AssetKind", "AtLimit": "AtLimit", "Callee": "Callee", "Event": "Event",
	} {
		var listed []string
		described, _ := d.find(t, "components", "schemas", schema)
		for _, word := range described["enum"].([]any) {
			listed = append(listed, word.(string))
		}
		require.NotEmpty(t, words[kind], kind)
		assert.ElementsMatch(t, words[kind], listed, schema)
		if kind == "ReasonCode" || kind == "ActivityKind" || kind == "Shape" || kind == "Callee" || kind == "Event" {
			for _, word := range listed {
				assert.Contains(t, described["description"], "`"+word+"`", "%s is not explained", word)
			}
		}
	}
	var states []string
	state, _ := d.find(t, "components", "schemas", "StateChange", "properties", "state")
	for _, word := range state["enum"].([]any) {
		states = append(states, word.(string))
	}
	assert.ElementsMatch(t, words["AssetState"], states)
}

// constants reads the text constants of a package by their types.
func constants(t *testing.T, folder string) map[string][]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	require.NoError(t, err)
	out := map[string][]string{}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			decl, ok := n.(*ast.GenDecl)
			if !ok || decl.Tok != token.CONST {
				return true
			}
			for _, spec := range decl.Specs {
				value := spec.(*ast.ValueSpec)
				kind, ok := value.Type.(*ast.Ident)
				if !ok {
					continue
				}
				for _, v := range value.Values {
					if text, ok := v.(*ast.BasicLit); ok && text.Kind == token.STRING {
						word, err := strconv.Unquote(text.Value)
						require.NoError(t, err)
						out[kind.Name] = append(out[kind.Name], word)
					}
				}
			}
			return false
		})
	}
	return out
}
