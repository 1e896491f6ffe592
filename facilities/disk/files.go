package disk

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// ErrInUse says that another process holds a lock.
var ErrInUse = errors.New("it is in use by another process")

// FileSystem is a file system. Names are paths of the machine.
type FileSystem interface {
	OpenFile(name string, flag int, perm fs.FileMode) (File, error)
	Stat(name string) (fs.FileInfo, error)
	// Same reports whether two descriptions are of the same file.
	Same(a, b fs.FileInfo) bool
	MkdirAll(name string, perm fs.FileMode) error
	ReadDir(name string) ([]fs.DirEntry, error)
	Rename(from, to string) error
	Remove(name string) error
	// SyncDir makes the entries of a folder outlast a loss of power.
	SyncDir(name string) error
	// Lock takes the lock of a file, which it makes, or fails at once with an error
	// that wraps ErrInUse.
	Lock(name string) (io.Closer, error)
}

// File is an open file. Write appends where it was opened to append.
type File interface {
	io.ReaderAt
	io.WriteCloser
	Stat() (fs.FileInfo, error)
	Chmod(mode fs.FileMode) error
	Sync() error
	Truncate(size int64) error
}

// Machine is the file system of the machine.
type Machine struct{}

// OpenFile opens a file as os.OpenFile does.
func (Machine) OpenFile(name string, flag int, perm fs.FileMode) (File, error) {
	f, err := os.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err // not a nil *os.File inside an interface
	}
	return f, nil
}

// Stat describes a file, or what a symbolic link leads to.
func (Machine) Stat(name string) (fs.FileInfo, error) { return os.Stat(name) }

// Same compares files as os.SameFile does.
func (Machine) Same(a, b fs.FileInfo) bool { return os.SameFile(a, b) }

// MkdirAll makes a folder and those that it is in.
func (Machine) MkdirAll(name string, perm fs.FileMode) error { return os.MkdirAll(name, perm) }

// ReadDir lists a folder.
func (Machine) ReadDir(name string) ([]fs.DirEntry, error) { return os.ReadDir(name) }

// Rename renames a file, in the place of another where there is one.
func (Machine) Rename(from, to string) error { return os.Rename(from, to) }

// Remove removes a file.
func (Machine) Remove(name string) error { return os.Remove(name) }

// SyncDir syncs a folder.
func (Machine) SyncDir(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// Read returns the content of a file of at most limit bytes. What is no regular
// file is not opened: a pipe would wait for its other end.
func Read(files FileSystem, name string, limit int64) ([]byte, error) {
	info, err := files.Stat(name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("it is not a regular file")
	}
	if info.Size() > limit {
		return nil, fmt.Errorf("it is longer than %d bytes", limit)
	}
	f, err := files.OpenFile(name, os.O_RDONLY, 0)
	if err != nil {
		return nil, err
	}
	// it may grow while it is read
	content, err := io.ReadAll(io.NewSectionReader(f, 0, limit+1))
	err = errors.Join(err, f.Close())
	if err == nil && int64(len(content)) > limit {
		return nil, fmt.Errorf("it is longer than %d bytes", limit)
	}
	return content, err
}

// Replace puts a file in the place of another, or makes it, so that whoever looks
// finds all of the old one or all of the new. It is written under the name temp, in
// the same file system, and is on the disk with its entry when this returns.
func Replace(files FileSystem, name, temp string, content []byte, perm fs.FileMode) error {
	if err := Swap(files, name, temp, content, perm); err != nil {
		return err
	}
	return files.SyncDir(filepath.Dir(name))
}

// Swap is Replace without the sync of the folder: after a loss of power there is
// the old file or the new one, whole.
func Swap(files FileSystem, name, temp string, content []byte, perm fs.FileMode) error {
	err := write(files, temp, content, perm)
	if err == nil {
		err = files.Rename(temp, name)
	}
	if err != nil {
		_ = files.Remove(temp) // the next one writes over it
	}
	return err
}

func write(files FileSystem, name string, content []byte, perm fs.FileMode) error {
	f, err := files.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, perm)
	if err != nil {
		return err
	}
	err = f.Chmod(perm) // whatever the mask of the process is
	if err == nil {
		_, err = f.Write(content)
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}
