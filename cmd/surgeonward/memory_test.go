package main

import (
	"bytes"
	"fmt"
)

// memoryFile is where Linux says how much memory a process has.
func memoryFile(pid int) string { return fmt.Sprintf("/proc/%d/status", pid) }

// kilobytes reads a line such as "VmRSS:  1234 kB", in bytes; 0 for others.
func kilobytes(line []byte, name string) int64 {
	rest, ok := bytes.CutPrefix(line, []byte(name))
	if !ok {
		return 0
	}
	var n int64
	if _, err := fmt.Sscan(string(rest), &n); err != nil {
		return 0
	}
	return n << 10
}
