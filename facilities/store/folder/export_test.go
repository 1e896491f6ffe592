package folder

import (
	"surgeonward/facilities/disk"
	"surgeonward/facilities/disk/disktest"
	"surgeonward/facilities/store"
)

// OpenOn opens a folder on another file system than the machine's.
func OpenOn(files disk.FileSystem, dir string, opts Options) (*Store, error) {
	return openOn(files, dir, opts)
}

// Turn looks at the folder at once.
func (s *Store) Turn() {
	s.work <- struct{}{}
	defer func() { <-s.work }()
	s.turn(true)
}

// Pack writes a content as it is on the disk.
func Pack(content []byte) []byte {
	packed, _ := deflate(content) // into memory
	return packed
}

// SplitAndJoin writes a content as a part of another and makes it again.
func SplitAndJoin(before, after []byte) ([]byte, error) {
	c := &contents{files: disktest.NewMemory(1), dir: "/contents", deep: map[store.Hash]int{}}
	h := store.Sum(before)
	if err := c.keep(h, before, store.Hash{}, nil); err != nil {
		return nil, err
	}
	return c.join(split(h, before, after), 1)
}
