package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"os/signal"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store/postgres/pgserver"
)

// asProgram turns the tests' program into surgeonward itself.
const asProgram = "SURGEONWARD_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
		code := run(ctx, os.Args[1:], func(string) string { return "" }, os.Stdin, os.Stdout, os.Stderr)
		stop()
		os.Exit(code)
	}
	pgserver.Main(m)
}

// child is a service in a process of its own.
type child struct {
	cmd     *exec.Cmd
	stdout  screen // what it says before it serves; its log goes nowhere
	address string
	ended   bool
}

// startChild starts one on a free port and waits until it answers. It ends with
// the test at the latest.
func startChild(t testing.TB, args ...string) *child {
	t.Helper()
	program, err := os.Executable()
	require.NoError(t, err)
	c := &child{cmd: exec.CommandContext(context.Background(), program, append([]string{"serve", "--listen", "127.0.0.1:0"}, args...)...)}
	c.cmd.Env = append(os.Environ(), asProgram+"=1")
	c.cmd.Stdout = &c.stdout
	require.NoError(t, c.cmd.Start())
	t.Cleanup(func() { c.kill(t) })
	require.Eventually(t, func() bool { return listening.MatchString(c.stdout.String()) }, 30*time.Second, 2*time.Millisecond,
		"it does not begin to serve")
	c.address = listening.FindStringSubmatch(c.stdout.String())[1]
	return c
}

// kill ends it at once, wherever it is.
func (c *child) kill(t testing.TB) {
	t.Helper()
	if c.ended {
		return
	}
	c.ended = true
	require.NoError(t, c.cmd.Process.Kill())
	require.Error(t, c.cmd.Wait(), "it ends only by being killed")
}

// memory is how much of the machine's memory its process has, in bytes: now,
// and at most since it was started.
func (c *child) memory(t testing.TB) (now, most int64) {
	t.Helper()
	text, err := os.ReadFile(memoryFile(c.cmd.Process.Pid))
	if os.IsNotExist(err) {
		t.Skip("the memory of another process can be asked on Linux only")
	}
	require.NoError(t, err)
	for line := range bytes.Lines(text) {
		now = max(now, kilobytes(line, "VmRSS:"))
		most = max(most, kilobytes(line, "VmHWM:"))
	}
	require.NotZero(t, now)
	return now, most
}
