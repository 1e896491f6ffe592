package api

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestBuildName: the settings are those runtime/debug documents.
func TestBuildName(t *testing.T) {
	revision := debug.BuildSetting{Key: "vcs.revision", Value: "0123456789abcdef0123456789abcdef01234567"}
	tests := []struct {
		name string
		info debug.BuildInfo
		want string
	}{
		{"nothing known", debug.BuildInfo{}, "development"},
		{"run from source", debug.BuildInfo{Main: debug.Module{Version: "(devel)"}}, "development"},
		{"a release", debug.BuildInfo{Main: debug.Module{Version: "v1.2.3"}}, "v1.2.3"},
		{"a revision", debug.BuildInfo{Settings: []debug.BuildSetting{revision}}, "0123456789ab"},
		{"a short one", debug.BuildInfo{Settings: []debug.BuildSetting{{Key: "vcs.revision", Value: "42"}}}, "42"},
		{"changed since", debug.BuildInfo{Settings: []debug.BuildSetting{revision, {Key: "vcs.modified", Value: "true"}}}, "0123456789ab-modified"},
		{"not changed", debug.BuildInfo{Settings: []debug.BuildSetting{{Key: "vcs.modified", Value: "false"}, revision}}, "0123456789ab"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { assert.Equal(t, tt.want, buildName(&tt.info)) })
	}
	assert.NotEmpty(t, Build())
}
