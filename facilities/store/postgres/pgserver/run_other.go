//go:build !unix

package pgserver

import "os/exec"

func runner(string) (func(name string, args ...string) *exec.Cmd, error) { return command, nil }
