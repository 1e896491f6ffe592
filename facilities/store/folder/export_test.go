package folder

import "surgeonward/facilities/disk"

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
