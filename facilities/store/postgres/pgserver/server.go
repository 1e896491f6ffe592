// Package pgserver starts a PostgreSQL server for tests, from the programs that
// the machine has installed, in a temporary folder and without a network port.
package pgserver

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
)

// Variable names an environment variable with the address of a database in
// which tests may make schemas. Without it they start a server of their own.
const Variable = "SURGEONWARD_TEST_DATABASE"

// Server is a running server.
type Server struct {
	bin, dir string
	run      func(name string, args ...string) *exec.Cmd
}

// ErrMissing says that this machine has no PostgreSQL to start.
var ErrMissing = errors.New("no PostgreSQL: install Debian's postgresql, or name a database in " + Variable)

var (
	once   sync.Once
	shared *Server
	failed error
)

// Main runs the tests of a package and stops the server that they started.
func Main(m *testing.M) {
	code := m.Run()
	if shared != nil {
		if err := errors.Join(shared.Stop(), os.RemoveAll(filepath.Dir(shared.dir))); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = max(code, 1)
		}
	}
	os.Exit(code)
}

// Schema makes an empty schema that goes with the test and returns the address
// of a database that uses it. Where there is no server the test is skipped.
func Schema(t *testing.T) string {
	t.Helper()
	address := os.Getenv(Variable)
	if address == "" {
		once.Do(func() { shared, failed = Start() })
		if errors.Is(failed, ErrMissing) {
			t.Skip(failed.Error())
		}
		require.NoError(t, failed)
		address = shared.URL()
	}
	conn, err := pgx.Connect(t.Context(), address)
	require.NoError(t, err)
	name := fmt.Sprintf("test_%d_%d", os.Getpid(), time.Now().UnixNano())
	_, err = conn.Exec(t.Context(), "CREATE SCHEMA "+name)
	require.NoError(t, err)
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
		defer cancel()
		_, err := conn.Exec(ctx, "DROP SCHEMA "+name+" CASCADE")
		require.NoError(t, errors.Join(err, conn.Close(ctx)))
	})
	u, err := url.Parse(address)
	require.NoError(t, err)
	q := u.Query()
	q.Set("search_path", name)
	u.RawQuery = q.Encode()
	return u.String()
}

// Start starts a server. An error wraps ErrMissing where there is none to start.
func Start() (*Server, error) {
	bin, err := programs()
	if err != nil {
		return nil, err
	}
	top, err := os.MkdirTemp("", "pg") // short: a socket's path has at most 107 bytes
	if err != nil {
		return nil, err
	}
	s := &Server{bin: bin, dir: filepath.Join(top, "d")}
	if s.run, err = runner(top); err != nil {
		return nil, errors.Join(err, os.RemoveAll(top))
	}
	output, err := s.command("initdb", "--auth=trust", "--username=postgres", "--encoding=UTF8", "--locale=C", "--no-sync", "-D", s.dir).CombinedOutput()
	if err == nil {
		err = s.Resume()
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("start PostgreSQL: %w\n%s", err, output), os.RemoveAll(top))
	}
	return s, nil
}

// programs is the folder of initdb and its kin.
func programs() (string, error) {
	if path, err := exec.LookPath("initdb"); err == nil {
		if path, err = filepath.EvalSymlinks(path); err == nil {
			return filepath.Dir(path), nil
		}
	}
	// Debian keeps them out of PATH, one folder for each version
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if err != nil || len(found) == 0 {
		return "", ErrMissing
	}
	newest := slices.MaxFunc(found, func(a, b string) int { return version(a) - version(b) })
	return filepath.Dir(newest), nil
}

func version(path string) int {
	n, err := strconv.Atoi(filepath.Base(filepath.Dir(filepath.Dir(path))))
	if err != nil {
		return 0
	}
	return n
}

// command is not bound to a test: the server outlives it.
func command(name string, args ...string) *exec.Cmd {
	return exec.CommandContext(context.Background(), name, args...)
}

func (s *Server) command(name string, args ...string) *exec.Cmd {
	cmd := s.run(filepath.Join(s.bin, name), args...)
	cmd.Dir = filepath.Dir(s.dir)
	return cmd
}

// Resume starts the server, anew after Stop, and waits until it answers.
func (s *Server) Resume() error {
	settings := "-c listen_addresses='' -c unix_socket_directories=" + filepath.Dir(s.dir) + " -c fsync=off -c max_connections=60"
	return s.command("pg_ctl", "-D", s.dir, "-w", "-l", filepath.Join(filepath.Dir(s.dir), "log"), "-o", settings, "start").Run()
}

// Stop ends the server at once, as a machine that is switched off does.
func (s *Server) Stop() error {
	return s.command("pg_ctl", "-D", s.dir, "-w", "-m", "immediate", "stop").Run()
}

// URL returns the address of the server's database.
func (s *Server) URL() string {
	return "postgres://postgres@/postgres?host=" + url.QueryEscape(filepath.Dir(s.dir))
}

// Close stops the server, if it runs, and removes its folder.
func (s *Server) Close() error {
	_ = s.Stop() // it may be stopped
	return os.RemoveAll(filepath.Dir(s.dir))
}
