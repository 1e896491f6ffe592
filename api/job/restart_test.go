package job_test

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/job"
	"surgeonward/api/job/jobtest"
	"surgeonward/facilities/disk/disktest"
)

// runnerFolder is the variable that turns the test's program into a queue of jobs.
const runnerFolder = "SURGEONWARD_TEST_JOBS"

// runUntilKilled submits jobs for ever and says on the standard output which are
// kept and which are done. The first waits for the end of the process.
func runUntilKilled(dir string) int {
	q, _, err := job.Open(job.Options{Kinds: jobtest.Kinds(nil), Dir: dir, Workers: 8, Waiting: 1000, Kept: 100_000})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	for i := 0; ; i++ {
		kind := "echo"
		if i == 0 {
			kind = "held"
		}
		j, err := q.Submit(context.Background(), kind, "somebody", []byte(`{"kind":"`+kind+`"}`))
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		fmt.Println("kept", j.ID)
		if i == 0 {
			for j.State != job.Running {
				if j, err = q.Wait(context.Background(), j.ID, j.Change); err != nil {
					return 1
				}
			}
			fmt.Println("running", j.ID)
		} else if j, err = q.Wait(context.Background(), j.ID, 1); err == nil && j.State == job.Done {
			fmt.Println("done", j.ID)
		}
	}
}

// TestKilled kills the process that runs jobs at random moments: whatever was kept is there
// afterwards, whatever was done has its result, and what ran is begun again.
func TestKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("kills processes")
	}
	program, err := os.Executable()
	require.NoError(t, err)
	dir := t.TempDir()
	kept, done, ran := map[string]bool{}, map[string]bool{}, []string{}
	const kills = 2 // fewer than MaxStarts
	for range kills {
		cmd := exec.CommandContext(t.Context(), program)
		cmd.Env = append(os.Environ(), runnerFolder+"="+dir)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		killAt := time.AfterFunc(20*time.Second, func() { _ = cmd.Process.Kill() })
		lines := bufio.NewScanner(out)
		for n := 0; lines.Scan(); n++ {
			what, id, _ := strings.Cut(lines.Text(), " ")
			switch what {
			case "kept":
				kept[id] = true
			case "done":
				done[id] = true
			case "running":
				ran = append(ran, id)
			}
			if n == 25 {
				require.NoError(t, cmd.Process.Kill())
			}
		}
		killAt.Stop()
		require.Error(t, cmd.Wait(), "it was killed")
	}
	require.Len(t, ran, kills)
	held := make(chan struct{})
	close(held)
	q := open(t, job.Options{Kinds: jobtest.Kinds(held), Dir: dir, Kept: 100_000})
	for id := range kept {
		j := jobtest.Until(t, q, id, job.Done)
		f, err := q.Result(t.Context(), id, j.Results[0].Name)
		require.NoError(t, err)
		assert.JSONEq(t, `{"kind":"`+strings.TrimSuffix(f.Name, ".json")+`"}`, string(f.Content))
		assert.LessOrEqual(t, j.Starts, kills+1)
	}
	for id := range done {
		assert.True(t, kept[id])
	}
	first, err := q.Get(t.Context(), ran[0])
	require.NoError(t, err)
	assert.Equal(t, kills+1, first.Starts, "begun, and begun again after each kill")
}

// TestStopped: a stop that is asked for is no start that failed.
func TestStopped(t *testing.T) {
	dir := t.TempDir()
	var id string
	for range 2 * job.MaxStarts {
		q, _, err := job.Open(job.Options{Kinds: jobtest.Kinds(nil), Dir: dir})
		require.NoError(t, err)
		if id == "" {
			id = jobtest.Submit(t, q, "held").ID
		}
		assert.Equal(t, 1, jobtest.Until(t, q, id, job.Running).Starts)
		require.NoError(t, q.Close())
	}
}

// TestPoison: a job that ends the process again and again is given up.
func TestPoison(t *testing.T) {
	dir := t.TempDir()
	q, _, err := job.Open(job.Options{Kinds: jobtest.Kinds(nil), Dir: dir})
	require.NoError(t, err)
	id := jobtest.Submit(t, q, "held").ID
	jobtest.Until(t, q, id, job.Running)
	require.NoError(t, q.Close())
	name := filepath.Join(dir, id, "job.json")
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	poisoned := strings.Replace(strings.Replace(string(text), `"starts": 0`, `"starts": 3`, 1), `"waiting"`, `"running"`, 1)
	require.NotEqual(t, string(text), poisoned)
	require.NoError(t, os.WriteFile(name, []byte(poisoned), 0o600))
	j := jobtest.Until(t, open(t, job.Options{Kinds: jobtest.Kinds(nil), Dir: dir}), id, job.Failed)
	assert.Contains(t, j.Detail, "the service ended 3 times while this ran")
}

// TestUnreadable: what cannot be read is said and left; what was never kept goes.
func TestUnreadable(t *testing.T) {
	dir := t.TempDir()
	bad, half, other := strings.Repeat("a", 20), strings.Repeat("b", 20), filepath.Join(dir, "notes")
	for _, name := range []string{filepath.Join(dir, bad), filepath.Join(dir, half), other} {
		require.NoError(t, os.Mkdir(name, 0o700))
	}
	for _, name := range []string{filepath.Join(bad, "job.json"), filepath.Join(half, "request.json"), filepath.Join("notes", "job.json")} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(`{"id":"`), 0o600))
	}
	q, unreadable, err := job.Open(job.Options{Kinds: jobtest.Kinds(nil), Dir: dir})
	require.NoError(t, err)
	defer func() { require.NoError(t, q.Close()) }()
	require.Len(t, unreadable, 1)
	assert.Contains(t, unreadable[0], bad)
	list, err := q.List(t.Context())
	require.NoError(t, err)
	assert.Empty(t, list)
	assert.NoDirExists(t, filepath.Join(dir, half))
	assert.FileExists(t, filepath.Join(other, "job.json"))
}

// TestPowerCut cuts the power before each change to the disk in turn: a job that was kept
// is there afterwards, and one that is done has all its results.
func TestPowerCut(t *testing.T) {
	for steps := 0; ; steps++ {
		require.Less(t, steps, 500, "the jobs never come through")
		files := disktest.NewMemory(uint64(steps))
		files.CutAfter(steps)
		cut := runOn(t, files)
		after := files.AfterPower()
		q, unreadable, err := job.Open(job.Options{Kinds: jobtest.Kinds(nil), Dir: "/jobs", Files: after})
		require.NoError(t, err, "after %d changes", steps)
		require.Empty(t, unreadable, "after %d changes", steps)
		for _, id := range cut.kept {
			jobtest.Until(t, q, id, job.Done)
			f, err := q.Result(t.Context(), id, "echo.json")
			require.NoError(t, err)
			require.JSONEq(t, `{"kind":"echo"}`, string(f.Content))
		}
		require.NoError(t, q.Close())
		if cut.whole {
			return
		}
	}
}

type outcome struct {
	kept  []string
	whole bool // the power held to the end
}

func runOn(t *testing.T, files *disktest.Memory) (out outcome) {
	q, _, err := job.Open(job.Options{Kinds: jobtest.Kinds(nil), Dir: "/jobs", Files: files})
	if err != nil {
		return out
	}
	for range 2 {
		j, err := q.Submit(t.Context(), "echo", "somebody", []byte(`{"kind":"echo"}`))
		if err != nil {
			break
		}
		out.kept = append(out.kept, j.ID)
		for change := -1; !j.State.Over(); change = j.Change {
			j, err = q.Wait(t.Context(), j.ID, change)
			require.NoError(t, err)
		}
	}
	err = q.Close()
	out.whole = err == nil && !files.Dead() && len(out.kept) == 2
	return out
}

// TestFullDisk: a job that cannot be kept is refused, one whose results cannot be kept
// fails, and nothing of it stays.
func TestFullDisk(t *testing.T) {
	files := disktest.NewMemory(1)
	large := func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
		return []job.File{{Name: "a", Content: []byte("small")}, {Name: "b", Content: make([]byte, 100_000)}}, nil
	}
	var mu sync.Mutex
	var troubles []error
	q := open(t, job.Options{Kinds: map[string]job.Run{"large": large}, Dir: "/jobs", Files: files,
		Trouble: func(_ string, err error) { mu.Lock(); troubles = append(troubles, err); mu.Unlock() }})
	files.Room(20_000)
	j := jobtest.Until(t, q, jobtest.Submit(t, q, "large").ID, job.Failed)
	assert.Contains(t, j.Detail, "the fault is on this side")
	require.Eventually(t, func() bool {
		entries, err := files.ReadDir("/jobs/" + j.ID)
		require.NoError(t, err)
		return len(entries) == 2 // the request and what has become of it
	}, 5*time.Second, time.Millisecond)
	mu.Lock()
	assert.NotEmpty(t, troubles)
	mu.Unlock()
	files.Room(0)
	_, err := q.Submit(t.Context(), "large", "somebody", []byte(`{}`))
	require.Error(t, err)
	assert.False(t, errors.Is(err, job.ErrFull))
	list, err := q.List(t.Context())
	require.NoError(t, err)
	assert.Len(t, list, 1)
}
