package siting_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// solver is a program of others that solves mixed integer programs.
type solver struct {
	name, debian string // of the program, and of its package
	args         func(in, out string, limit time.Duration) []string
	read         func(answer string) (value float64, proven bool)
}

// solvers are those that answers are held to.
var solvers = []solver{
	{"glpsol", "glpk-utils", func(in, out string, limit time.Duration) []string {
		return []string{"--lp", in, "--write", out, "--tmlim", strconv.Itoa(int(limit.Seconds()))}
	}, readGLPK},
	{"cbc", "coinor-cbc", func(in, out string, limit time.Duration) []string {
		return []string{in, "ratioGap", "0", "sec", strconv.Itoa(int(limit.Seconds())), "solve", "solution", out, "quit"}
	}, readCBC},
}

// readGLPK reads the line "s mip ROWS COLUMNS STATUS VALUE", where the status o is proven the best
// and f is what was found.
func readGLPK(answer string) (value float64, proven bool) {
	for line := range strings.Lines(answer) {
		if f := strings.Fields(line); len(f) == 6 && f[0] == "s" && f[1] == "mip" && (f[4] == "o" || f[4] == "f") {
			v, err := strconv.ParseFloat(f[5], 64)
			return v, err == nil && f[4] == "o"
		}
	}
	return 0, false
}

// readCBC reads the first line, such as "Optimal - objective value 5819.00000000".
func readCBC(answer string) (value float64, proven bool) {
	first, _, _ := strings.Cut(answer, "\n")
	status, number, ok := strings.Cut(first, "objective value")
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	return v, ok && err == nil && strings.HasPrefix(status, "Optimal")
}

// text is the program in the LP format.
func (g *program) text(sense string) string {
	var text strings.Builder
	fmt.Fprintf(&text, "%s\n%sSubject To\n%sBounds\n%s", sense, &g.goal, &g.rows, &g.bounds)
	if g.units > 1 {
		for j := range g.sites {
			fmt.Fprintf(&text, " 0 <= y%d <= %d\n", j, g.units)
		}
		text.WriteString("General\n")
	} else {
		text.WriteString("Binary\n")
	}
	for j := range g.sites {
		fmt.Fprintf(&text, " y%d\n", j)
	}
	text.WriteString("End\n")
	return text.String()
}

// path is where the program is; the test is skipped where it is not installed.
func (s *solver) path(t testing.TB) string {
	t.Helper()
	path, err := exec.LookPath(s.name)
	if err != nil {
		t.Skipf("%s is not installed (Debian's %s): no comparison with it", s.name, s.debian)
	}
	return path
}

// solve is the value that the solver comes to within the limit.
func (s *solver) solve(t testing.TB, g *program, sense string, limit time.Duration) (value float64, proven bool) {
	t.Helper()
	path, dir := s.path(t), t.TempDir()
	in, out := filepath.Join(dir, "in.lp"), filepath.Join(dir, "out.txt")
	require.NoError(t, os.WriteFile(in, []byte(g.text(sense)), 0o600))
	said, err := exec.CommandContext(t.Context(), path, s.args(in, out, limit)...).CombinedOutput()
	require.NoError(t, err, "%s", said)
	answer, err := os.ReadFile(out)
	require.NoError(t, err, "%s", said)
	return s.read(string(answer))
}
