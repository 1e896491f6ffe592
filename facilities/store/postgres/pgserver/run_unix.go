//go:build unix

package pgserver

import (
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"strconv"
	"syscall"
)

// runner returns how to start a program of the server. PostgreSQL refuses to
// run as root; root lets Debian's user postgres have the folder and run it.
func runner(folder string) (func(name string, args ...string) *exec.Cmd, error) {
	if os.Geteuid() != 0 {
		return command, nil
	}
	u, err := user.Lookup("postgres")
	if err != nil {
		return nil, fmt.Errorf("%w (%w)", ErrMissing, err)
	}
	uid, err := strconv.ParseUint(u.Uid, 10, 32)
	if err != nil {
		return nil, err
	}
	gid, err := strconv.ParseUint(u.Gid, 10, 32)
	if err != nil {
		return nil, err
	}
	if err := os.Chown(folder, int(uid), int(gid)); err != nil {
		return nil, err
	}
	return func(name string, args ...string) *exec.Cmd {
		cmd := command(name, args...)
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}}
		return cmd
	}, nil
}
