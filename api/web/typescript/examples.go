package typescript

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Examples returns the worked questions of POST /v1/options in the OpenAPI document
// (as JSON) as a TypeScript constant, by their names, so that the page has them
// without fetching the document. The same input gives the same text.
func Examples(document []byte) (string, error) {
	var root struct {
		Paths map[string]struct {
			Post struct {
				RequestBody struct {
					Content map[string]struct {
						Examples map[string]json.RawMessage `json:"examples"`
					} `json:"content"`
				} `json:"requestBody"`
			} `json:"post"`
		} `json:"paths"`
	}
	if err := json.Unmarshal(document, &root); err != nil {
		return "", fmt.Errorf("the OpenAPI document: %w", err)
	}
	examples := root.Paths["/v1/options"].Post.RequestBody.Content["application/json"].Examples
	if len(examples) == 0 {
		return "", fmt.Errorf("the OpenAPI document has no examples of POST /v1/options")
	}
	var b strings.Builder
	b.WriteString("// Written from the interface's own description: go test ./api/web/typescript -update\n\n" +
		"import type {Question} from './api.gen'\n\n" +
		"export const examples: readonly (readonly [string, {summary: string, value: Question}])[] = [\n")
	for _, name := range slices.Sorted(maps.Keys(examples)) {
		var compact bytes.Buffer
		if err := json.Compact(&compact, examples[name]); err != nil {
			return "", fmt.Errorf("example %s: %w", name, err)
		}
		fmt.Fprintf(&b, "  [%q, %s],\n", name, compact.Bytes())
	}
	b.WriteString("]\n")
	return b.String(), nil
}
