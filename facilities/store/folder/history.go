package folder

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/store"
)

// history is the journal with its contents, and an index of it.
type history struct {
	files    disk.FileSystem
	dir      string
	contents contents
	journal  disk.File // nil: nothing is written, lines are in text

	mu    sync.RWMutex // guards what follows, and contents.held
	size  int64        // whole lines, in bytes
	lines []place
	using map[store.Hash][]int64 // numbers of versions, ascending
	text  []byte                 // where there is no journal

	dirty bool // there may be more in the file than size; only of the writer
}

// place is where the line of a version is, without its end. A length of 0 is
// that of a line that cannot be read.
type place struct {
	offset int64
	length int
}

func newHistory(files disk.FileSystem, dir string) *history {
	return &history{
		files: files, dir: dir, using: map[store.Hash][]int64{},
		contents: contents{files: files, dir: filepath.Join(dir, "contents"), deep: map[store.Hash]int{}},
	}
}

// unkept is a history that is lost at the end.
func unkept() *history {
	h := newHistory(nil, "")
	h.contents.held = map[store.Hash][]byte{}
	return h
}

func (h *history) journalPath() string { return filepath.Join(h.dir, "journal.jsonl") }

// open reads the journal; one that is to be written is made where there is none,
// and what a crash left is cut off.
func (h *history) open(write bool) error {
	flag := os.O_RDONLY
	if write {
		flag = os.O_RDWR | os.O_CREATE | os.O_APPEND
	}
	f, err := h.files.OpenFile(h.journalPath(), flag, filePerm)
	if err != nil {
		return err
	}
	h.journal = f
	torn, err := h.readMore()
	if err == nil && write {
		err = h.mend(torn)
	}
	if err != nil {
		return errors.Join(err, h.close())
	}
	return nil
}

// mend cuts off half a line, and syncs the rest: the process that wrote it may
// have ended before it could.
func (h *history) mend(torn int64) error {
	if torn > 0 {
		half := make([]byte, torn)
		if _, err := h.journal.ReadAt(half, h.size); err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		aside := fmt.Sprintf("%s.at-%d.torn", h.journalPath(), h.size)
		if err := disk.Replace(h.files, aside, filepath.Join(h.dir, "unfinished"), half, filePerm); err != nil {
			return err
		}
		if err := h.journal.Truncate(h.size); err != nil {
			return err
		}
	}
	if err := h.journal.Sync(); err != nil {
		return err
	}
	return h.files.SyncDir(h.dir)
}

// readMore indexes what follows the lines that are known, and returns how many
// bytes follow the last whole line.
func (h *history) readMore() (torn int64, err error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	info, err := h.journal.Stat()
	if err != nil {
		return 0, err
	}
	if info.Size() <= h.size {
		return 0, nil
	}
	r := bufio.NewReaderSize(io.NewSectionReader(h.journal, h.size, info.Size()-h.size), 64<<10)
	var buf []byte
	for {
		text, length, err := nextLine(r, buf)
		if errors.Is(err, io.EOF) {
			return length, nil
		}
		if err != nil {
			return 0, err
		}
		buf = text[:0]
		h.index(text, length)
		h.size += length
	}
}

// nextLine returns a line without its end and its length with it. One that is
// longer than any can be comes back cut short. What follows the last end is an io.EOF.
func nextLine(r *bufio.Reader, buf []byte) (text []byte, length int64, err error) {
	for {
		part, err := r.ReadSlice('\n')
		length += int64(len(part))
		if len(buf)+len(part) <= maxLine {
			buf = append(buf, part...)
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		return bytes.TrimSuffix(buf, []byte("\n")), length, err
	}
}

// shortest is less than the bytes of any line. Lines that ran together because
// the end of one was damaged hold no more versions than this allows.
const shortest = 80

// index notes a line at the end of those that are known. A line that cannot be
// read keeps a number free, until the next that can says how many there were.
func (h *history) index(text []byte, length int64) {
	e, err := decodeLine(text)
	if err != nil || length > maxLine || e.Number <= h.lastWhole() || e.Number > 1+h.size/shortest {
		h.lines = append(h.lines, place{offset: h.size})
		return
	}
	h.lines = h.lines[:min(int64(len(h.lines)), e.Number-1)]
	for int64(len(h.lines)) < e.Number-1 {
		h.lines = append(h.lines, place{offset: h.size})
	}
	h.add(e, len(text))
}

func (h *history) lastWhole() int64 {
	for i := len(h.lines); i > 0; i-- {
		if h.lines[i-1].length > 0 {
			return int64(i)
		}
	}
	return 0
}

func (h *history) add(e *store.Entry, length int) {
	h.lines = append(h.lines, place{h.size, length})
	for _, f := range e.Files {
		if u := h.using[f.Hash]; len(u) == 0 || u[len(u)-1] != e.Number {
			h.using[f.Hash] = append(u, e.Number)
		}
	}
}

func (h *history) newest() int64 {
	h.mu.RLock()
	defer h.mu.RUnlock()
	return int64(len(h.lines))
}

// append puts a version on the disk: its contents, then its line. before is the
// version that it follows, or nil.
func (h *history) append(e *store.Entry, content map[string][]byte, before *store.Version) error {
	text, err := encodeLine(e)
	if err != nil {
		return err
	}
	if h.journal != nil {
		for _, f := range e.Files {
			was := stateIn(before, f.Name)
			if err := h.contents.keep(f.Hash, content[f.Name], was.hash, contentIn(before, f.Name)); err != nil {
				return err
			}
		}
		if err := h.write(text); err != nil {
			return err
		}
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.journal == nil {
		for _, f := range e.Files {
			h.contents.held[f.Hash] = content[f.Name]
		}
		h.text = append(h.text, text...)
	}
	h.add(e, len(text)-1)
	h.size += int64(len(text))
	return nil
}

func (h *history) write(text []byte) error {
	if h.dirty { // never add to half a line
		if err := h.journal.Truncate(h.size); err != nil {
			return err
		}
	}
	h.dirty = true
	_, err := h.journal.Write(text)
	if err == nil {
		err = h.journal.Sync()
	}
	if err != nil {
		if cut := h.journal.Truncate(h.size); cut != nil { // it is cut again before the next
			err = fmt.Errorf("%w: %w", store.ErrUnsure, errors.Join(err, cut))
		}
		return err
	}
	h.dirty = false
	return nil
}

// entry reads the line of a version.
func (h *history) entry(number int64) (*store.Entry, error) {
	text, err := h.lineOf(number)
	if err != nil {
		return nil, err
	}
	e, err := decodeLine(text)
	if err != nil {
		return nil, fmt.Errorf("version %d: %w: %w: %w", number, store.ErrDamaged, errDamaged, err)
	}
	return e, nil
}

func (h *history) lineOf(number int64) ([]byte, error) {
	h.mu.RLock()
	defer h.mu.RUnlock()
	if number < 1 || number > int64(len(h.lines)) {
		return nil, fmt.Errorf("%w: %d; there are 1 to %d", store.ErrNotFound, number, len(h.lines))
	}
	p := h.lines[number-1]
	if p.length == 0 {
		return nil, fmt.Errorf("version %d: %w: %w", number, store.ErrDamaged, errDamaged)
	}
	if h.journal == nil {
		return slices.Clone(h.text[p.offset : p.offset+int64(p.length)]), nil
	}
	text := make([]byte, p.length)
	if _, err := h.journal.ReadAt(text, p.offset); err != nil {
		return nil, fmt.Errorf("%w: version %d cannot be read: %w", store.ErrUnavailable, number, err)
	}
	return text, nil
}

var errDamaged = errors.New("its line in the history is damaged")

// version reads a version whole; contents that it shares with another are
// shared.
func (h *history) version(number int64, like *store.Version) (*store.Version, error) {
	e, err := h.entry(number)
	if err != nil {
		return nil, err
	}
	v := &store.Version{Entry: *e, Content: make(map[string][]byte, len(e.Files))}
	for _, f := range e.Files {
		if like != nil && slices.Contains(like.Files, f) {
			v.Content[f.Name] = like.Content[f.Name]
			continue
		}
		content, err := h.content(f.Hash)
		if err != nil {
			kind := store.ErrUnavailable
			if errors.Is(err, errDecayed) && h.inPlace() {
				kind = store.ErrDamaged
			}
			return nil, fmt.Errorf("%w: %s of version %d: %w", kind, f.Name, number, err)
		}
		v.Content[f.Name] = content
	}
	return v, nil
}

func (h *history) content(hash store.Hash) ([]byte, error) {
	if h.journal != nil {
		return h.contents.get(hash)
	}
	h.mu.RLock()
	defer h.mu.RUnlock()
	return h.contents.held[hash], nil
}

func (h *history) usedBy(content store.Hash) []int64 {
	h.mu.RLock()
	defer h.mu.RUnlock()
	return slices.Clone(h.using[content])
}

// inPlace reports whether the journal that is open is the one in the folder.
func (h *history) inPlace() bool {
	if h.journal == nil {
		return true
	}
	there, err := h.files.Stat(h.journalPath())
	if err != nil {
		return false
	}
	open, err := h.journal.Stat()
	h.mu.RLock()
	defer h.mu.RUnlock()
	return err == nil && h.files.Same(there, open) && open.Size() >= h.size
}

func (h *history) close() error {
	if h.journal == nil {
		return nil
	}
	return h.journal.Close()
}

// exists reports whether there is a history in the folder.
func (h *history) exists() bool {
	_, err := h.files.Stat(h.journalPath())
	return !errors.Is(err, fs.ErrNotExist)
}
