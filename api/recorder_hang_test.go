//go:build unix

package api_test

import (
	"bytes"
	"net/http"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/rs/zerolog"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
)

// TestDiskThatHangs: a pipe in place of a file of data blocks its writer until
// somebody reads it. The first answer waits a little, the next not at all.
func TestDiskThatHangs(t *testing.T) {
	dir := t.TempDir()
	var log bytes.Buffer
	h, _ := recording(t, dir, func(c *api.Config) { c.Logger = zerolog.New(&log) })
	hash := demo(t).Data()[0].Hash.String()
	folder := filepath.Join(dir, "blobs", hash[:2])
	require.NoError(t, os.MkdirAll(folder, 0o700))
	pipe := filepath.Join(folder, hash[2:]+".tmp")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	ask := func() string {
		w := post(h, oneAsset)
		require.Equal(t, http.StatusOK, w.Code)
		return w.Header().Get(recordHeader)
	}
	assert.Equal(t, "none", ask())
	assert.Contains(t, log.String(), "deadlineExceeded", "it was waited for")
	log.Reset()
	assert.Equal(t, "none", ask())
	assert.Contains(t, log.String(), "the disk is too slow")
	assert.NotContains(t, log.String(), "deadlineExceeded", "it was not waited for")

	reader, err := os.OpenFile(pipe, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	require.NoError(t, err)
	require.NoError(t, reader.Close()) // the writer fails on a broken pipe
	assert.Eventually(t, func() bool { return ask() != "none" }, 20*time.Second, 20*time.Millisecond)
}
