package record

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"surgeonward/facilities/disk"
)

// total is the bytes of segments and blobs. The caller holds mu.
func (s *Store) total() int64 {
	var sum int64
	for _, seg := range s.segments {
		sum += seg.size + seg.aside
	}
	for _, b := range s.blobs {
		sum += b.size
	}
	return sum
}

func (s *Store) over() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.total() > s.opts.MaxTotal
}

// holdBound drops what is oldest until the bound holds. Records are on the
// disk whether it can or not.
func (s *Store) holdBound() {
	err := s.shrink()
	s.mu.Lock()
	s.trouble = err
	s.mu.Unlock()
}

func (s *Store) shrink() error {
	if !s.over() {
		return nil
	}
	// data without a record first: it is no loss
	_, err := s.collect()
	for err == nil && s.over() {
		var dropped bool
		if dropped, err = s.dropOldest(); err != nil || !dropped {
			break
		}
		_, err = s.collect()
	}
	return err
}

// dropOldest deletes the oldest segment, if it is not the newest too.
func (s *Store) dropOldest() (bool, error) {
	s.mu.Lock()
	if len(s.segments) < 2 {
		s.mu.Unlock()
		return false, nil
	}
	seg := s.segments[0]
	s.mu.Unlock()
	// the segment goes last: without it nothing says whose the torn lines are
	err := s.removeAside(seg.name)
	if err == nil {
		err = remove(s.files, s.segmentPath(seg.name))
	}
	if err == nil {
		err = s.files.SyncDir(filepath.Join(s.dir, "segments"))
	}
	if err != nil {
		return false, fmt.Errorf("drop segments/%s: %w", seg.name, err)
	}
	s.mu.Lock()
	s.segments = s.segments[1:]
	s.dropped++
	s.mu.Unlock()
	return true, nil
}

// removeAside deletes the half lines kept beside a segment.
func (s *Store) removeAside(name string) error {
	listing, err := s.files.ReadDir(filepath.Join(s.dir, "segments"))
	if err != nil {
		return err
	}
	var faults []error
	for _, item := range listing {
		if of, ok := tornOf(item.Name()); ok && of == name {
			faults = append(faults, remove(s.files, s.segmentPath(item.Name())))
		}
	}
	return errors.Join(faults...)
}

// collect deletes every blob that no segment and no record on its way names,
// and returns their number.
func (s *Store) collect() (removed int, err error) {
	s.blobMu.Lock()
	defer s.blobMu.Unlock()
	var faults []error
	for _, h := range s.forget() {
		if err := remove(s.files, blobPath(s.dir, h.hash)); err != nil {
			faults = append(faults, err)
			s.mu.Lock()
			s.blobs[h.hash] = &blobState{size: h.size}
			s.mu.Unlock()
			continue
		}
		removed++
	}
	return removed, errors.Join(faults...)
}

type forgotten struct {
	hash Hash
	size int64
}

// forget takes blobs that nothing names off the list of those kept. Who needs
// one again from here on waits for blobMu and writes it anew.
func (s *Store) forget() []forgotten {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []forgotten
	for h, b := range s.blobs {
		named := s.pins[h] > 0
		for _, seg := range s.segments {
			named = named || seg.blobs[h]
		}
		if !named {
			out = append(out, forgotten{h, b.size})
			delete(s.blobs, h)
		}
	}
	return out
}

// remove deletes a file; one that is gone already is as good.
func remove(files disk.FileSystem, name string) error {
	if err := files.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
