//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package access

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"

	"golang.org/x/sys/unix"
)

// lock waits for a lock that the system lets go of when the process ends,
// however it ends.
func lock(path string) (unlock func() error, err error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	for {
		err = unix.Flock(int(f.Fd()), unix.LOCK_EX)
		if !errors.Is(err, unix.EINTR) {
			break
		}
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("%s: %w", path, err), f.Close())
	}
	return f.Close, nil
}

// guardedMode refuses a file that others than its owner may write.
func guardedMode(path string, info os.FileInfo) error {
	if mode := info.Mode().Perm(); mode&0o022 != 0 {
		return fmt.Errorf("%s may be written by others (mode %04o): chmod 600 it, and look at what is in it", path, mode)
	}
	return nil
}

// giveTo lets the system's administrator edit the tokens of a service that runs
// as another user: the new file belongs to the owner of the old one, else to
// that of its folder.
func giveTo(f *os.File, path string) error {
	if os.Geteuid() != 0 {
		return nil
	}
	info, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) {
		info, err = os.Stat(filepath.Dir(path))
	}
	if err != nil {
		return err
	}
	owner, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return nil
	}
	return f.Chown(int(owner.Uid), int(owner.Gid))
}
