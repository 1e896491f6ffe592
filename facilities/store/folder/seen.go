package folder

import (
	"errors"
	"io/fs"
	"path/filepath"
	"time"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/store"
)

// state is what a file is: there, with a content, or not.
type state struct {
	there bool
	hash  store.Hash
}

func stateIn(v *store.Version, name string) state {
	if v == nil {
		return state{}
	}
	for _, f := range v.Files {
		if f.Name == name {
			return state{true, f.Hash}
		}
	}
	return state{}
}

func contentIn(v *store.Version, name string) []byte {
	if v == nil {
		return nil
	}
	return v.Content[name]
}

// seen is a file as it was last looked at.
type seen struct {
	state
	content []byte
	fault   error       // it cannot be read
	info    fs.FileInfo // nil: look again
	since   time.Time   // when the info was first this one
	moving  bool        // it changed while it was read
}

// whole reports whether the state is known to be that of the file.
func (f *seen) whole() bool { return f.fault == nil && !f.moving }

// settling is how long a file is read again although its description stays the
// same. The times of files are coarse: on some systems two changes within two
// seconds look the same.
const settling = 3 * time.Second

// look reads a file, unless it is as it was. Content that the file had before, or
// has in the version, is not held twice.
func look(files disk.FileSystem, dir, name string, was *seen, v *store.Version) *seen {
	path := filepath.Join(dir, name)
	info, err := files.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return &seen{}
	}
	if err != nil {
		return &seen{fault: bare(err)}
	}
	since := time.Now()
	if was != nil && was.info != nil && sameInfo(files, was.info, info) {
		since = was.since
		if time.Since(since) > settling {
			return was
		}
	}
	content, err := disk.Read(files, path, store.MaxFile)
	if errors.Is(err, fs.ErrNotExist) {
		return &seen{moving: true}
	}
	if err != nil {
		return &seen{fault: bare(err)}
	}
	out := &seen{state: state{true, store.Sum(content)}, content: content, info: info, since: since}
	if again, err := files.Stat(path); err != nil || !sameInfo(files, info, again) {
		out.moving = true
	}
	if was != nil && was.state == out.state {
		out.content = was.content
	}
	if stateIn(v, name) == out.state {
		out.content = v.Content[name]
	}
	return out
}

func sameInfo(files disk.FileSystem, a, b fs.FileInfo) bool {
	return a.Size() == b.Size() && a.ModTime().Equal(b.ModTime()) && a.Mode() == b.Mode() && files.Same(a, b)
}

// bare is an error without the path, which is nobody's concern who asks over a
// network.
func bare(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}
