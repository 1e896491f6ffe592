package reread_test

import (
	"errors"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/reread"
)

// word opens a file whose content is the value; "bad" cannot be read.
func word(t *testing.T, first string) (v *reread.Value[string], path string, faults *atomic.Int32) {
	t.Helper()
	path, faults = filepath.Join(t.TempDir(), "word"), &atomic.Int32{}
	require.NoError(t, os.WriteFile(path, []byte(first), 0o600))
	v, err := reread.Open(func() (string, error) {
		text, err := os.ReadFile(path)
		if err == nil && string(text) == "bad" {
			err = errors.New("bad")
		}
		return string(text), err
	}, func(error) { faults.Add(1) }, path)
	require.NoError(t, err)
	return v, path, faults
}

func eventually(t *testing.T, holds func() bool, about string) {
	t.Helper()
	require.Eventually(t, holds, 5*time.Second, 10*time.Millisecond, about)
}

// Source of what is expected: the package's own promise.
func TestChangesHold(t *testing.T) {
	v, path, faults := word(t, "one")
	assert.Equal(t, "one", v.Get())
	require.NoError(t, os.WriteFile(path, []byte("two"), 0o600)) // same length, same second
	eventually(t, func() bool { return v.Get() == "two" }, "written in place")
	next := path + ".new"
	require.NoError(t, os.WriteFile(next, []byte("six"), 0o600))
	require.NoError(t, os.Rename(next, path))
	eventually(t, func() bool { return v.Get() == "six" }, "replaced")
	assert.True(t, v.Healthy())
	assert.Zero(t, faults.Load())
}

func TestTheLastGoodValueStays(t *testing.T) {
	v, path, faults := word(t, "one")
	require.NoError(t, os.WriteFile(path, []byte("bad"), 0o600))
	eventually(t, func() bool { return !v.Healthy() }, "the fault is seen")
	assert.Equal(t, "one", v.Get())
	require.NoError(t, os.Remove(path))
	eventually(t, func() bool { v.Get(); return faults.Load() == 2 }, "each fault is told")
	assert.Equal(t, "one", v.Get())
	time.Sleep(600 * time.Millisecond) // two more looks
	v.Get()
	assert.EqualValues(t, 2, faults.Load(), "once")
	require.NoError(t, os.WriteFile(path, []byte("new"), 0o600))
	eventually(t, func() bool { return v.Get() == "new" && v.Healthy() }, "mended")
}

func TestOpenNeedsAFirstValue(t *testing.T) {
	_, err := reread.Open(func() (int, error) { return 0, assert.AnError }, nil, "none")
	assert.ErrorIs(t, err, assert.AnError)
}
