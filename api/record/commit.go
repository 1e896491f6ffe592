package record

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// batch is the records that share a sync.
type batch struct {
	items []*item
	done  chan struct{} // closed when every item has its result
}

// item is a record on its way to the disk.
type item struct {
	head *head
	line []byte
	err  error
}

// append numbers a record and waits until it is on the disk. It takes over the
// pins of the record's data.
func (s *Store) append(ctx context.Context, h *head, large bulk) error {
	b, it, err := s.enqueue(h, large)
	if err != nil {
		s.unpin(h.Data)
		return err
	}
	select {
	case <-b.done:
		return it.err
	case <-ctx.Done():
		return fmt.Errorf("the record may or may not be kept: %w", ctx.Err())
	}
}

func (s *Store) enqueue(h *head, large bulk) (*batch, *item, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil, nil, ErrClosed
	}
	if s.next > MaxNumber {
		return nil, nil, fmt.Errorf("the record's %d numbers are used up: begin a new folder", int64(MaxNumber))
	}
	h.Number = s.next
	if h.Kind == KindAnswer {
		h.ID = FormatID(h.Number)
	}
	line, err := encodeLine(h, large)
	if err != nil {
		return nil, nil, err
	}
	s.next++
	if s.pending == nil {
		s.pending = &batch{done: make(chan struct{})}
	}
	b, it := s.pending, &item{head: h, line: line}
	b.items = append(b.items, it)
	if !s.running {
		s.running = true
		go s.flush()
	}
	return b, it, nil
}

// flush writes batches until none waits. Records that come while one is being
// synced make the next: the slower the disk, the more share a sync.
func (s *Store) flush() {
	s.mu.Lock()
	for s.pending != nil {
		b := s.pending
		s.pending = nil
		s.mu.Unlock()
		for rest := b.items; len(rest) > 0; {
			rest = rest[s.write(rest):]
		}
		close(b.done)
		s.holdBound()
		s.mu.Lock()
	}
	s.running = false
	s.idle.Broadcast()
	s.mu.Unlock()
}

// write puts as many records as the current segment has room for on the disk,
// sets the error of each, and returns how many; at least one.
func (s *Store) write(items []*item) int {
	seg, err := s.room(items[0])
	if err != nil {
		return s.settle(seg, items[:1], err)
	}
	var text []byte
	n := 0
	for _, it := range items {
		if n > 0 && seg.size+int64(len(text)+len(it.line)) > s.opts.MaxSegment {
			break
		}
		text = append(text, it.line...)
		n++
	}
	if _, err = s.current.Write(text); err == nil {
		if err = s.current.Sync(); err != nil {
			// after a failed sync nobody knows what the file holds
			defer s.leave()
		}
	}
	if err != nil {
		if cutErr := s.current.Truncate(seg.size); cutErr != nil {
			err = errors.Join(err, cutErr)
			defer s.leave() // never add to half a line
		}
	}
	return s.settle(seg, items[:n], err)
}

// settle ends the way of some records and returns their number.
func (s *Store) settle(seg *segment, items []*item, err error) int {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, it := range items {
		if err != nil {
			it.err = fmt.Errorf("the record is not kept: %w", err)
		} else {
			seg.add(it.head, seg.size, len(it.line)-1)
			seg.size += int64(len(it.line))
			seg.lines++
		}
		s.unpinLocked(it.head.Data)
	}
	return len(items)
}

// room returns the segment that a record goes to, and begins one where there
// is none or it is full.
func (s *Store) room(it *item) (*segment, error) {
	if s.current != nil {
		seg := s.newest()
		if seg.size == 0 || seg.size+int64(len(it.line)) <= s.opts.MaxSegment {
			return seg, nil
		}
		s.leave()
	}
	seg := &segment{name: nameSegment(it.head.Number), first: it.head.Number, blobs: map[Hash]bool{}}
	f, err := s.files.OpenFile(s.segmentPath(seg.name), os.O_WRONLY|os.O_CREATE|os.O_EXCL|os.O_APPEND, filePerm)
	if err != nil {
		return nil, err
	}
	if err := s.files.SyncDir(filepath.Join(s.dir, "segments")); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	s.mu.Lock()
	s.segments = append(s.segments, seg)
	s.mu.Unlock()
	s.current = f
	return seg, nil
}

func (s *Store) newest() *segment {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.segments[len(s.segments)-1]
}

// leave lets go of the current segment; the next record begins another.
func (s *Store) leave() {
	if s.current != nil {
		_ = s.current.Close() // everything acknowledged in it has been synced
		s.current = nil
	}
}
