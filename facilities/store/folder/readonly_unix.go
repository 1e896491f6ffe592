//go:build unix

package folder

import (
	"errors"
	"syscall"
)

func isReadOnlyDisk(err error) bool { return errors.Is(err, syscall.EROFS) }
