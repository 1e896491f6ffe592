package web_test

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"

	"surgeonward/api/web"
)

// needNode skips where the page's own tests cannot run, and says what to do.
func needNode(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("node"); err != nil {
		t.Skip("the page's tests were not run: node is missing (Debian: apt-get install nodejs npm)")
	}
	if _, err := os.Stat("node_modules/esbuild"); err != nil {
		t.Skip("the page's tests were not run: its packages are missing (make web, or npm ci in api/web)")
	}
}

// pure has the tests that need no browser.
const pure = "pure.test.mjs"

// TestPage runs what of the page needs no browser.
func TestPage(t *testing.T) {
	needNode(t)
	startNode(t.Context(), "test/"+pure).report(t)
}

// TestTypesOfPage checks the page's types, against those of the interface too.
func TestTypesOfPage(t *testing.T) {
	needNode(t)
	out, err := exec.CommandContext(t.Context(), "node", "node_modules/typescript/bin/tsc", "--noEmit").CombinedOutput()
	require.NoError(t, err, "%s", out)
}

// TestInBrowser runs the page in a browser against the program, built with the
// page that is in dist.
func TestInBrowser(t *testing.T) {
	needNode(t)
	browsers := []string{os.Getenv("CHROMIUM"), "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"}
	found := false
	for _, path := range browsers {
		if _, err := os.Stat(path); path != "" && err == nil {
			found = true
		}
	}
	if !found {
		t.Skip("the browser tests were not run: chromium is missing (Debian: apt-get install chromium; elsewhere name it in CHROMIUM)")
	}
	page, err := web.Embedded()
	require.NoError(t, err)
	if !page.Built {
		t.Skip("the browser tests were not run: the page is not built (make web)")
	}
	binary := filepath.Join(t.TempDir(), "surgeonward")
	build := exec.CommandContext(t.Context(), "go", "build", "-o", binary, "surgeonward/cmd/surgeonward")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%s", out)
	t.Setenv("SURGEONWARD_BINARY", binary)
	files, err := filepath.Glob("test/*.test.mjs")
	require.NoError(t, err)
	files = slices.DeleteFunc(files, func(f string) bool { return filepath.Base(f) == pure })
	require.NotEmpty(t, files)
	runs := make([]*nodeRun, len(files))
	var group errgroup.Group
	group.SetLimit(atOnce)
	for i, file := range files {
		group.Go(func() error {
			runs[i] = startNode(t.Context(), file)
			return nil
		})
	}
	require.NoError(t, group.Wait())
	for _, r := range runs {
		r.report(t)
	}
}

// atOnce is how many files of browser tests run at a time, each with a browser and a
// program of its own: they mostly wait for each other's processes.
const atOnce = 2

// tapLine is one test's line of node's TAP output (testanything.org).
var tapLine = regexp.MustCompile(`^(not )?ok \d+ - (.*)$`)

// nodeRun is a file of node's tests that has run.
type nodeRun struct {
	file string
	out  bytes.Buffer
	err  error
}

func startNode(ctx context.Context, file string) *nodeRun {
	r := &nodeRun{file: file}
	cmd := exec.CommandContext(ctx, "node", "--test", "--test-reporter=tap", "--test-concurrency=1", file)
	cmd.WaitDelay = 10 * time.Second
	cmd.Stdout, cmd.Stderr = &r.out, &r.out
	r.err = cmd.Run()
	return r
}

// report makes a test here of each in the file.
func (r *nodeRun) report(t *testing.T) {
	t.Helper()
	count := 0
	for line := range strings.Lines(r.out.String()) {
		m := tapLine.FindStringSubmatch(strings.TrimRight(line, "\n"))
		if m == nil {
			continue
		}
		count++
		failed := m[1] != ""
		t.Run(m[2], func(t *testing.T) {
			if failed {
				t.Errorf("%s: see its output below", m[2])
			}
		})
	}
	if r.err != nil || count == 0 {
		t.Errorf("node %s (%s): %v\n%s", r.file, runtime.GOOS, r.err, r.out.String())
	}
}
