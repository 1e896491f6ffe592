package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The events are as `go doc test2json` and `go help buildjson` describe them.
func TestReport(t *testing.T) {
	for _, tc := range []struct {
		name   string
		events []string
		want   string
	}{
		{"nothing", nil, "0 passed, 0 failed, 0 skipped\n"},
		{"passes, and its output stays unseen", []string{
			`{"Action":"output","Package":"p","Test":"TestA","Output":"=== RUN   TestA\n"}`,
			`{"Action":"pass","Package":"p","Test":"TestA"}`,
			`{"Action":"output","Package":"p","Output":"-test.shuffle 7\n"}`,
			`{"Action":"output","Package":"p","Output":"PASS\n"}`,
			`{"Action":"output","Package":"p","Output":"ok  \tp\t0.1s\n"}`,
			`{"Action":"pass","Package":"p"}`,
		}, "ok  \tp\t0.1s\n1 passed, 0 failed, 0 skipped\n"},
		{"skips with a reason", []string{
			`{"Action":"output","Package":"p","Test":"TestB","Output":"=== RUN   TestB\n"}`,
			`{"Action":"output","Package":"p","Test":"TestB","Output":"    b_test.go:9: no reference data: set X\n"}`,
			`{"Action":"output","Package":"p","Test":"TestB","Output":"--- SKIP: TestB (0.00s)\n"}`,
			`{"Action":"skip","Package":"p","Test":"TestB"}`,
		}, "skipped: p TestB: no reference data: set X\n0 passed, 0 failed, 1 skipped\n"},
		{"fails, with the seed of its package", []string{
			`{"Action":"output","Package":"p","Test":"TestC","Output":"    c_test.go:3: wrong\n"}`,
			`{"Action":"fail","Package":"p","Test":"TestC"}`,
			`{"Action":"output","Package":"p","Output":"-test.shuffle 7\n"}`,
			`{"Action":"output","Package":"p","Output":"FAIL\tp\t0.1s\n"}`,
			`{"Action":"fail","Package":"p"}`,
		}, "    c_test.go:3: wrong\n-test.shuffle 7\nFAIL\tp\t0.1s\n0 passed, 1 failed, 0 skipped\n"},
		{"dies inside a test", []string{
			`{"Action":"output","Package":"p","Test":"TestD","Output":"panic: no\n"}`,
			`{"Action":"output","Package":"p","Output":"FAIL\tp\t0.1s\n"}`,
			`{"Action":"fail","Package":"p"}`,
		}, "panic: no\nFAIL\tp\t0.1s\n0 passed, 1 failed, 0 skipped\n"},
		{"does not build", []string{
			`{"ImportPath":"p","Action":"build-output","Output":"p.go:1: undefined: x\n"}`,
			`{"ImportPath":"p","Action":"build-fail"}`,
			`{"Action":"output","Package":"p","Output":"FAIL\tp [build failed]\n"}`,
			`{"Action":"fail","Package":"p"}`,
		}, "p.go:1: undefined: x\nFAIL\tp [build failed]\n0 passed, 1 failed, 0 skipped\n"},
		{"a line that is no event", []string{`go: no such module`}, "go: no such module\n0 passed, 0 failed, 0 skipped\n"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var out bytes.Buffer
			r := newReport(&out)
			require.NoError(t, r.read(strings.NewReader(strings.Join(tc.events, "\n"))))
			r.close()
			assert.Equal(t, tc.want, out.String())
		})
	}
}
