package record

import (
	"io"
	"io/fs"
	"os"
)

// fileSystem is what the record needs of one, so that tests can fill the disk,
// fail it and cut its power.
type fileSystem interface {
	OpenFile(name string, flag int, perm fs.FileMode) (file, error)
	MkdirAll(name string, perm fs.FileMode) error
	ReadDir(name string) ([]fs.DirEntry, error)
	Rename(from, to string) error
	Remove(name string) error
	// SyncDir makes the entries of a folder outlast a loss of power.
	SyncDir(name string) error
	// Lock takes the lock of a file or fails at once with an error that is ErrInUse.
	Lock(name string) (io.Closer, error)
}

// file is an open file. Write appends where it was opened to append.
type file interface {
	io.ReaderAt
	io.WriteCloser
	Sync() error
	Truncate(size int64) error
	Size() (int64, error)
}

const (
	filePerm   = 0o600
	folderPerm = 0o700
)

// disk is the file system of the machine.
type disk struct{}

type diskFile struct{ *os.File }

func (f diskFile) Size() (int64, error) {
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	return info.Size(), nil
}

func (disk) OpenFile(name string, flag int, perm fs.FileMode) (file, error) {
	f, err := os.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err // not a nil *os.File inside an interface
	}
	return diskFile{f}, nil
}

func (disk) MkdirAll(name string, perm fs.FileMode) error { return os.MkdirAll(name, perm) }
func (disk) ReadDir(name string) ([]fs.DirEntry, error)   { return os.ReadDir(name) }
func (disk) Rename(from, to string) error                 { return os.Rename(from, to) }
func (disk) Remove(name string) error                     { return os.Remove(name) }

func (disk) SyncDir(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	err = f.Sync()
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	return err
}

// readAll reads a file of at most limit bytes.
func readAll(files fileSystem, name string, limit int64) ([]byte, error) {
	f, err := files.OpenFile(name, os.O_RDONLY, 0)
	if err != nil {
		return nil, err
	}
	defer f.Close() // nothing was written
	return io.ReadAll(io.NewSectionReader(f, 0, limit))
}

// writeNew writes a file that is to be complete and on the disk when this
// returns, but for its entry in the folder.
func writeNew(files fileSystem, name string, content []byte) error {
	f, err := files.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, filePerm)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	return err
}
