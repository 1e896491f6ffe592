package job

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"surgeonward/facilities/disk"
)

// Permissions: what is asked and answered is for the service's user only.
const (
	folderPerm = 0o700
	filePerm   = 0o600
)

// The names in a job's folder.
const (
	jobName      = "job.json"
	requestName  = "request.json"
	resultPrefix = "result-"
	tempSuffix   = ".part"
	maxJobBytes  = 1 << 20 // of job.json
)

// folder is a store in a folder.
type folder struct {
	files disk.FileSystem
	dir   string
	lock  io.Closer
	most  int64 // bytes of a result
}

func openFolder(files disk.FileSystem, dir string, most int64) (*folder, error) {
	f := &folder{files: files, dir: dir, most: most}
	if err := files.MkdirAll(dir, folderPerm); err != nil {
		return nil, err
	}
	var err error
	if f.lock, err = files.Lock(filepath.Join(dir, "lock")); err != nil {
		return nil, err
	}
	if err := errors.Join(files.SyncDir(dir), files.SyncDir(filepath.Dir(filepath.Clean(dir)))); err != nil {
		return nil, errors.Join(err, f.lock.Close())
	}
	return f, nil
}

func (f *folder) path(id, name string) string { return filepath.Join(f.dir, id, name) }

func (f *folder) write(id, name string, content []byte) error {
	return disk.Replace(f.files, f.path(id, name), f.path(id, name+tempSuffix), content, filePerm)
}

func (f *folder) add(j Job, request []byte) error {
	err := f.files.MkdirAll(filepath.Join(f.dir, j.ID), folderPerm)
	if err == nil {
		err = f.write(j.ID, requestName, request)
	}
	if err == nil {
		err = f.files.SyncDir(f.dir)
	}
	if err == nil {
		err = f.save(j)
	}
	if err != nil { // whoever asked is told: nothing must be left of it
		return errors.Join(err, f.drop(j))
	}
	return nil
}

func (f *folder) save(j Job) error {
	text, err := json.MarshalIndent(j, "", "  ")
	if err != nil {
		return err
	}
	return f.write(j.ID, jobName, append(text, '\n'))
}

func (f *folder) request(id string) ([]byte, error) {
	return disk.Read(f.files, f.path(id, requestName), MaxRequest)
}

func (f *folder) put(id string, r File) error { return f.write(id, resultPrefix+r.Name, r.Content) }

func (f *folder) get(id, name string) ([]byte, error) {
	content, err := disk.Read(f.files, f.path(id, resultPrefix+name), f.most)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%w: the result %s", ErrNotFound, name)
	}
	return content, err
}

// drop takes job.json first: a folder without one is no job, and goes at the next start.
func (f *folder) drop(j Job) error {
	err := f.remove(f.path(j.ID, jobName))
	if err == nil {
		err = f.clear(j.ID)
	}
	return err
}

// clear removes a job's folder with the files that this package can have made.
func (f *folder) clear(id string) error {
	err := f.removeAll(id, func(name string) bool {
		return name == jobName || name == requestName || strings.HasPrefix(name, resultPrefix)
	})
	return errors.Join(err, f.remove(filepath.Join(f.dir, id)))
}

func (f *folder) strip(id string) error {
	return f.removeAll(id, func(name string) bool { return strings.HasPrefix(name, resultPrefix) })
}

// removeAll removes files of a job by name, with what was left half written under it.
func (f *folder) removeAll(id string, which func(name string) bool) error {
	entries, err := f.files.ReadDir(filepath.Join(f.dir, id))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	for _, e := range entries {
		if which(strings.TrimSuffix(e.Name(), tempSuffix)) {
			err = errors.Join(err, f.remove(f.path(id, e.Name())))
		}
	}
	return err
}

func (f *folder) remove(name string) error {
	if err := f.files.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

func (f *folder) load() (jobs []Job, unreadable []string, err error) {
	entries, err := f.files.ReadDir(f.dir)
	if err != nil {
		return nil, nil, err
	}
	for _, e := range entries {
		if !e.IsDir() || !isID(e.Name()) {
			continue // not ours
		}
		text, err := disk.Read(f.files, f.path(e.Name(), jobName), maxJobBytes)
		if errors.Is(err, fs.ErrNotExist) {
			if err := f.clear(e.Name()); err != nil {
				unreadable = append(unreadable, fmt.Sprintf("%s has no %s and cannot be removed: %v", e.Name(), jobName, err))
			}
			continue
		}
		var j Job
		if err == nil {
			err = json.Unmarshal(text, &j)
		}
		if err == nil {
			err = j.check(e.Name())
		}
		if err != nil {
			unreadable = append(unreadable, fmt.Sprintf("%s cannot be read: %v", filepath.Join(e.Name(), jobName), err))
			continue
		}
		jobs = append(jobs, j)
	}
	return jobs, unreadable, nil
}

func (f *folder) close() error { return f.lock.Close() }
