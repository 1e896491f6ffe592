package record

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"

	"surgeonward/facilities/disk"
)

// Open opens a record for writing, makes the folder where there is none, and
// mends what a crash left. The report has everything that somebody should look at;
// it is worth reading also where there is an error. ErrInUse says that another
// process, or this one, writes it already.
func Open(dir string, opts Options) (*Store, Report, error) {
	return openStore(disk.Machine{}, dir, opts)
}

func openStore(files disk.FileSystem, dir string, opts Options) (_ *Store, _ Report, err error) {
	opts, err = opts.orDefault()
	if err != nil {
		return nil, Report{}, err
	}
	s := &Store{
		Reader: &Reader{files: files, dir: dir}, opts: opts, pins: map[Hash]int{}, blobs: map[Hash]*blobState{},
	}
	s.idle = sync.NewCond(&s.mu)
	if err := s.begin(); err != nil {
		return nil, Report{}, fmt.Errorf("the record in %s cannot be written: %w", dir, err)
	}
	report, err := s.mend()
	if err != nil {
		s.leave()
		return nil, report, fmt.Errorf("the record in %s cannot be opened: %w", dir, errors.Join(err, s.lock.Close()))
	}
	return s, report, nil
}

// begin makes the folders and takes the lock.
func (s *Store) begin() error {
	changed := s.parentsOfNew()
	err := s.files.MkdirAll(s.dir, folderPerm)
	if err != nil {
		return err
	}
	if s.lock, err = s.files.Lock(filepath.Join(s.dir, "lock")); err != nil {
		if errors.Is(err, ErrInUse) {
			err = fmt.Errorf("%w: stop it first, or only read", err)
		}
		return err
	}
	err = errors.Join(
		s.files.MkdirAll(filepath.Join(s.dir, "segments"), folderPerm),
		s.files.MkdirAll(filepath.Join(s.dir, "blobs"), folderPerm),
		s.files.SyncDir(s.dir),
	)
	for _, parent := range changed {
		err = errors.Join(err, s.files.SyncDir(parent))
	}
	if err != nil {
		return errors.Join(err, s.lock.Close())
	}
	return nil
}

// parentsOfNew lists the folders that get an entry when the record's folder is
// made.
func (s *Store) parentsOfNew() []string {
	var out []string
	for dir := filepath.Clean(s.dir); dir != filepath.Dir(dir); dir = filepath.Dir(dir) {
		if _, err := s.files.ReadDir(dir); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		out = append(out, filepath.Dir(dir))
	}
	return out
}

// mend reads the folder and puts in order what a crash left.
func (s *Store) mend() (Report, error) {
	if err := s.load(); err != nil {
		return Report{}, err
	}
	s.next = s.free()
	found, err := listBlobs(s.files, s.dir)
	if err != nil {
		return Report{}, err
	}
	report := s.report(found.sizes)
	for h, size := range found.sizes {
		s.blobs[h] = &blobState{size: size}
	}
	for i := range report.Torn {
		if err := s.cut(&report.Torn[i]); err != nil {
			return report, err
		}
	}
	for _, name := range found.litter {
		if err := remove(s.files, name); err != nil {
			return report, err
		}
	}
	if len(report.Damaged) == 0 { // else a damaged line may name data that seems unnamed
		if report.Removed, err = s.collect(); err != nil {
			return report, err
		}
	}
	if err := s.resume(); err != nil {
		return report, err
	}
	s.holdBound()
	return report, nil
}

// shortest is less than the bytes of any record. Lines that ran together
// because the end of one was damaged hold no more records than this allows.
const shortest = 100

// free returns a number that no record has or can have had.
func (s *Store) free() int64 {
	next := int64(1)
	var lost int64
	for _, seg := range s.segments {
		next = max(next, seg.first)
		if n := len(seg.entries); n > 0 {
			next = max(next, seg.entries[n-1].number+1)
		}
		for _, d := range seg.damage {
			lost += 1 + d.Length/shortest
		}
		if seg.torn > 0 {
			lost += 1 + seg.torn/shortest
		}
	}
	return next + lost
}

// cut moves half a line out of its segment into a file of its own.
func (s *Store) cut(t *Torn) error {
	f, err := s.files.OpenFile(s.segmentPath(t.Segment), os.O_RDWR, 0)
	if err != nil {
		return err
	}
	name := nameTorn(t.Segment, t.Offset)
	err = s.copyAside(io.NewSectionReader(f, t.Offset, t.Length), name)
	if err == nil {
		err = f.Truncate(t.Offset)
	}
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		return fmt.Errorf("cut half a line off segments/%s: %w", t.Segment, err)
	}
	t.KeptAs = name
	for _, seg := range s.segments {
		if seg.name == t.Segment {
			seg.aside += t.Length
			seg.torn = 0
		}
	}
	return nil
}

func (s *Store) copyAside(tail io.Reader, name string) error {
	f, err := s.files.OpenFile(s.segmentPath(name), os.O_WRONLY|os.O_CREATE|os.O_TRUNC, filePerm)
	if err != nil {
		return err
	}
	_, err = io.Copy(f, tail)
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		return err
	}
	return s.files.SyncDir(filepath.Join(s.dir, "segments"))
}

// resume opens the newest segment to go on in it, and syncs it: the process
// that wrote it may have ended before it could.
func (s *Store) resume() error {
	if len(s.segments) == 0 {
		return nil
	}
	seg := s.segments[len(s.segments)-1]
	f, err := s.files.OpenFile(s.segmentPath(seg.name), os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return err
	}
	s.current = f
	if err := f.Sync(); err != nil {
		return err
	}
	return s.files.SyncDir(filepath.Join(s.dir, "segments"))
}
