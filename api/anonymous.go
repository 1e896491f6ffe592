package api

import (
	"encoding/json"

	"surgeonward/facilities/document"
	"surgeonward/geo/position"
)

// anonymous returns a question with the scene's position text as it may be kept: a
// message of a telephone loses what says whose it is. All else stays byte for byte. What
// cannot be read comes back as it is; the record's own check decides on that.
func anonymous(body []byte) []byte {
	var asked struct {
		Scene struct {
			PositionText string `json:"position_text"`
		} `json:"scene"`
	}
	if err := json.Unmarshal(body, &asked); err != nil || asked.Scene.PositionText == "" {
		return body
	}
	kept, err := position.Anonymous(asked.Scene.PositionText)
	if err != nil || kept == asked.Scene.PositionText {
		return body
	}
	asked.Scene.PositionText = kept
	patch, err := json.Marshal(asked)
	if err != nil {
		return body
	}
	patched, err := document.MergePatch(body, patch)
	if err != nil {
		return body
	}
	return patched
}
