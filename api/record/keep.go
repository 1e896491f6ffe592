package record

import (
	"fmt"
	"os"
	"path/filepath"
)

// blobState is what is known of data that is kept.
type blobState struct {
	size int64
	sure bool // this process has written it, or has read it and synced it
}

// pin keeps data from being collected until a record that names it is kept.
func (s *Store) pin(data []Named) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, d := range data {
		s.pins[d.Hash]++
	}
}

func (s *Store) unpin(data []Named) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.unpinLocked(data)
}

func (s *Store) unpinLocked(data []Named) {
	for _, d := range data {
		if s.pins[d.Hash]--; s.pins[d.Hash] <= 0 {
			delete(s.pins, d.Hash)
		}
	}
}

func (s *Store) sure(h Hash) (known, sure bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	b := s.blobs[h]
	return b != nil, b != nil && b.sure
}

// keep puts data that is pinned on the disk, unless it is there.
func (s *Store) keep(d Data) error {
	if _, sure := s.sure(d.Hash); sure {
		return nil
	}
	s.blobMu.Lock()
	defer s.blobMu.Unlock()
	known, sure := s.sure(d.Hash)
	if sure {
		return nil
	}
	if len(d.Bytes) > MaxBlob {
		return fmt.Errorf("%d bytes are more than %d", len(d.Bytes), MaxBlob)
	}
	if Sum(d.Bytes) != d.Hash {
		return fmt.Errorf("its content does not have the hash %s: make it with NewData", d.Hash)
	}
	// what an earlier run left may have decayed, or never have been synced
	if !known || s.renew(d.Hash) != nil {
		if err := s.writeBlob(d); err != nil {
			return err
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.blobs[d.Hash] = &blobState{size: int64(len(d.Bytes)), sure: true}
	return nil
}

// renew makes sure of a blob that is there.
func (s *Store) renew(h Hash) error {
	if _, err := readBlob(s.files, s.dir, h); err != nil {
		return err
	}
	f, err := s.files.OpenFile(blobPath(s.dir, h), os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	err = f.Sync()
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		return err
	}
	return s.syncBlobEntry(h)
}

func (s *Store) writeBlob(d Data) error {
	if err := s.files.MkdirAll(blobFolder(s.dir, d.Hash), folderPerm); err != nil {
		return err
	}
	name := blobPath(s.dir, d.Hash)
	err := writeNew(s.files, name+unfinished, d.Bytes)
	if err == nil {
		err = s.files.Rename(name+unfinished, name)
	}
	if err != nil {
		_ = s.files.Remove(name + unfinished) // else the next Open does
		return err
	}
	return s.syncBlobEntry(d.Hash)
}

func (s *Store) syncBlobEntry(h Hash) error {
	if err := s.files.SyncDir(blobFolder(s.dir, h)); err != nil {
		return err
	}
	return s.files.SyncDir(filepath.Join(s.dir, "blobs"))
}
