package disktest

import (
	"context"
	"os"
	"os/exec"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

// Small mounts a file system of half a megabyte in a folder, until the test
// ends. It skips the test where the machine does not let this user.
func Small(t testing.TB) string {
	t.Helper()
	if runtime.GOOS != "linux" || os.Getuid() != 0 {
		t.Skip("needs Linux and root to mount a small file system; TestFullDisk covers the same in memory")
	}
	dir := t.TempDir()
	if out, err := exec.CommandContext(t.Context(), "mount", "-t", "tmpfs", "-o", "size=512k", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no small file system can be mounted: %s; TestFullDisk covers the same in memory", out)
	}
	after := context.WithoutCancel(t.Context()) // which ends before the test is tidied up
	t.Cleanup(func() { require.NoError(t, exec.CommandContext(after, "umount", dir).Run()) })
	return dir
}
