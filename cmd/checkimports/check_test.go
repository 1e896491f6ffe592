package main

import (
	"bytes"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// module builds a module in memory from file names and contents.
func module(files map[string]string) fstest.MapFS {
	fsys := fstest.MapFS{"go.mod": {Data: []byte("module example\n\ngo 1.26.0\n")}}
	for name, text := range files {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return fsys
}

func TestDirection(t *testing.T) {
	// Source of every row: the module's own rule, cmd -> api -> routing -> facilities -> geo.
	for _, tc := range []struct {
		name, file, text string
		want             []string
	}{
		{"outward to inward", "routing/a.go", "package routing\nimport _ \"example/geo\"", nil},
		{"own subpackage", "geo/a.go", "package geo\nimport _ \"example/geo/sun\"", nil},
		{"skipping a layer", "cmd/x/a.go", "package main\nimport _ \"example/geo/sun\"", nil},
		{"inward to outward", "geo/sun/a.go", "package sun\nimport _ \"example/facilities\"",
			[]string{"geo/sun/a.go:2: geo must not import facilities: imports go cmd -> api -> routing -> facilities -> geo"}},
		{"api to cmd", "api/region/a.go", "package region\nimport _ \"example/cmd/x\"",
			[]string{"api/region/a.go:2: api must not import cmd: imports go cmd -> api -> routing -> facilities -> geo"}},
		{"a test inward to outward", "facilities/a_test.go", "package facilities_test\nimport _ \"example/routing\"",
			[]string{"facilities/a_test.go:2: facilities must not import routing: imports go cmd -> api -> routing -> facilities -> geo"}},
		{"a name that only starts alike", "geo/a.go", "package geo\nimport _ \"example-other/api\"", nil},
		{"demonstration region in the interface", "api/a.go", "package api\nimport _ \"example/testdata/demo\"", nil},
		{"demonstration region in a test", "routing/a_test.go", "package routing_test\nimport _ \"example/testdata/demo\"", nil},
		{"demonstration region in the model", "routing/a.go", "package routing\nimport _ \"example/testdata/demo\"",
			[]string{"routing/a.go:2: routing must not import testdata outside tests"}},
		{"generator using the model", "testdata/demo/a.go", "package demo\nimport _ \"example/facilities\"", nil},
		{"generator using the interface", "testdata/demo/a.go", "package demo\nimport _ \"example/api\"",
			[]string{"testdata/demo/a.go:2: testdata must not import api"}},
		{"unknown folder", "extra/a.go", "package extra",
			[]string{"extra/a.go:1: extra is none of the folders geo, facilities, routing, api, cmd"}},
		{"vague name", "geo/util/a.go", "package util",
			[]string{`geo/util/a.go:1: package name "util" says nothing about what is inside`}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := check(module(map[string]string{tc.file: tc.text}))
			require.NoError(t, err)
			assert.Equal(t, tc.want, got.faults)
			assert.Equal(t, 1, got.files)
		})
	}
}

func TestForbiddenPackages(t *testing.T) {
	// Source of every row: geo and routing do no input or output, read no clock and keep no log.
	for _, tc := range []struct {
		name, file, text string
		want             []string
	}{
		{"files in geo", "geo/a.go", "package geo\nimport _ \"os\"", []string{"geo/a.go:2: geo must not import os"}},
		{"files in a test of geo", "geo/a_test.go", "package geo\nimport _ \"os\"", nil},
		{"json in geo", "geo/a.go", "package geo\nimport _ \"encoding/json\"", []string{"geo/a.go:2: geo must not import encoding/json"}},
		{"json in routing", "routing/a.go", "package routing\nimport _ \"encoding/json\"", nil},
		{"embedding in routing", "routing/a.go", "package routing\nimport _ \"embed\"", nil},
		{"http in routing", "routing/road/a.go", "package road\nimport _ \"net/http\"", []string{"routing/road/a.go:2: routing must not import net/http"}},
		{"text of addresses in geo", "geo/a.go", "package geo\nimport _ \"net/url\"", nil},
		{"log in facilities", "facilities/a.go", "package facilities\nimport _ \"log/slog\"", []string{"facilities/a.go:2: facilities must not import log/slog"}},
		{"cgo", "api/a.go", "package api\nimport \"C\"", []string{"api/a.go:2: cgo is not used here"}},
		{"clock in routing", "routing/a.go", "package routing\nimport \"time\"\nvar t = time.Now()",
			[]string{"routing/a.go:3: routing must not read the clock: take the time as an argument, not time.Now"}},
		{"clock under another name", "geo/a.go", "package geo\nimport clock \"time\"\nvar t = clock.Since",
			[]string{"geo/a.go:3: geo must not read the clock: take the time as an argument, not clock.Since"}},
		{"arithmetic on times", "routing/a.go", "package routing\nimport \"time\"\nvar t = time.Unix(0, 0)", nil},
		{"clock in api", "api/a.go", "package api\nimport \"time\"\nvar t = time.Now()", nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := check(module(map[string]string{tc.file: tc.text}))
			require.NoError(t, err)
			assert.Equal(t, tc.want, got.faults)
		})
	}
}

func TestFoldersLeftOut(t *testing.T) {
	got, err := check(module(map[string]string{
		"geo/a.go":                      "package geo",
		"geo/testdata/a.go":             "not Go at all",
		".hidden/a.go":                  "not Go at all",
		"api/web/node_modules/x/bad.go": "not Go at all",
	}))
	require.NoError(t, err)
	assert.Equal(t, 1, got.files)
	assert.Empty(t, got.faults)
}

func TestCannotCheck(t *testing.T) {
	for _, tc := range []struct {
		name string
		fsys fstest.MapFS
		want string
	}{
		{"no go.mod", fstest.MapFS{}, "go.mod"},
		{"no module line", fstest.MapFS{"go.mod": {Data: []byte("go 1.26.0\n")}}, "no module line"},
		{"no Go files", module(nil), "no Go files"},
		{"not Go", module(map[string]string{"geo/a.go": "pakcage geo"}), "geo/a.go"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := check(tc.fsys)
			assert.ErrorContains(t, err, tc.want)
		})
	}
}

// TestThisModule is the check itself, so that a plain go test catches a
// violation too.
func TestThisModule(t *testing.T) {
	var stdout, stderr bytes.Buffer
	assert.Zero(t, run("../..", &stdout, &stderr), stderr.String())
	assert.Contains(t, stdout.String(), "Go files import in the right direction")
}
