package region

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
)

// read returns a file's bytes, at most as many as allowed; nil with a fault
// where it cannot be read.
func (report *Report) read(fsys fs.FS, name string, most int64) []byte {
	data, err := readFile(fsys, name, most)
	if err == nil {
		return data
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err // the name is said already, and where the folder is need not be
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		report.missing(name)
	case errors.Is(err, fs.ErrPermission):
		report.fault(name, "the file may not be read: change its permissions")
	default:
		report.fault(name, "the file cannot be read: %s", err)
	}
	return nil
}

func (report *Report) missing(name string) {
	report.fault(name, "the file is missing: add it to the region's folder")
}

func readFile(fsys fs.FS, name string, most int64) (data []byte, err error) {
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() { // opening a pipe would wait for its other end
		return nil, errors.New("it is not a regular file")
	}
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	// The size is only what the file system says: a file may grow while it is
	// read, and some have no size at all.
	if info.Size() <= most {
		data, err = io.ReadAll(io.LimitReader(f, most+1))
	}
	if err == nil && (info.Size() > most || int64(len(data)) > most) {
		return nil, fmt.Errorf("it is longer than %d bytes", most)
	}
	if data == nil {
		data = []byte{}
	}
	return data, err
}

func exists(fsys fs.FS, name string) bool {
	_, err := fs.Stat(fsys, name)
	return !errors.Is(err, fs.ErrNotExist)
}
