//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package disk

import (
	"errors"
	"io"
)

// Lock fails: without one, two processes could write over each other.
func (Machine) Lock(string) (io.Closer, error) {
	return nil, errors.New("this system has no file lock that ends with its process")
}
