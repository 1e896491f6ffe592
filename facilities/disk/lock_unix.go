//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package disk

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"golang.org/x/sys/unix"
)

// Lock takes a lock that the system lets go of when the process ends, however
// it ends. The process id in the file is only for the message.
func (Machine) Lock(name string) (io.Closer, error) {
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	for {
		err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		if !errors.Is(err, unix.EINTR) {
			break
		}
	}
	if errors.Is(err, unix.EWOULDBLOCK) {
		err = fmt.Errorf("%w%s", ErrInUse, holder(f))
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	if f.Truncate(0) == nil { // a full disk must not keep anybody out
		_, _ = f.WriteAt([]byte(strconv.Itoa(os.Getpid())+"\n"), 0)
	}
	return f, nil
}

// holder names the process that wrote its id into the lock file.
func holder(f *os.File) string {
	text := make([]byte, 20)
	n, _ := f.ReadAt(text, 0) // only for the message
	pid, err := strconv.Atoi(strings.TrimSpace(string(text[:n])))
	if err != nil {
		return ""
	}
	return fmt.Sprintf(" (process %d)", pid)
}
