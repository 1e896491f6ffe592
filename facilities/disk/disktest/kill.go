package disktest

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Kills is how often a test kills its writer: as many times as
// SURGEONWARD_TEST_KILLS says, or the usual number.
func Kills(t testing.TB, usual int) int {
	t.Helper()
	text := os.Getenv("SURGEONWARD_TEST_KILLS")
	if text == "" {
		return usual
	}
	kills, err := strconv.Atoi(text)
	require.NoError(t, err, "SURGEONWARD_TEST_KILLS")
	return kills
}

// RunAndKill starts the test's own program with more in its environment, which
// makes a writer of it that says a line for each thing it has done. It is killed
// some time after so many lines, without a chance to tidy up; all the lines that it
// got out whole are returned. The writer never ends by itself and says nothing on
// standard error.
func RunAndKill(t testing.TB, more []string, many int, after time.Duration) []string {
	t.Helper()
	program, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.CommandContext(t.Context(), program)
	cmd.Env = append(os.Environ(), more...)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	require.NoError(t, cmd.Start())
	lines := bufio.NewReader(out)
	var said []string
	for len(said) < many {
		line, err := lines.ReadString('\n')
		if err != nil {
			_ = cmd.Wait() // until then the complaints are being written
			require.NoError(t, err, "the writer ended by itself: %s", complaints.String())
		}
		said = append(said, strings.TrimSpace(line))
	}
	time.Sleep(after)
	require.NoError(t, cmd.Process.Kill())
	rest, err := io.ReadAll(lines)
	require.NoError(t, err)
	require.Error(t, cmd.Wait(), "it ends only by being killed")
	require.Empty(t, complaints.String())
	for line := range strings.Lines(string(rest)) {
		if strings.HasSuffix(line, "\n") { // a half one was not said
			said = append(said, strings.TrimSpace(line))
		}
	}
	return said
}
