package transfer

import (
	"bytes"
	"compress/flate"
	"errors"
	"fmt"
	"io"
	"os"

	"surgeonward/facilities/store"
)

// spill keeps the contents of a backup in a temporary file: any version may have
// any content that came before, and those of years are more than memory holds.
type spill struct {
	file   *os.File // nil until there is something
	size   int64
	places map[store.Hash]place
	pack   *flate.Writer
	last   map[store.Hash][]byte // of the last version: most of them are in the next too
}

// place is where a packed content is.
type place struct{ offset, length int64 }

func newSpill() *spill { return &spill{places: map[store.Hash]place{}} }

// put keeps a content.
func (s *spill) put(hash store.Hash, content []byte) (err error) {
	if _, there := s.places[hash]; there {
		return nil
	}
	if s.file == nil {
		if s.file, err = os.CreateTemp("", "surgeonward-backup-*"); err != nil {
			return fmt.Errorf("there is no room to unpack it: %w", err)
		}
	}
	var packed bytes.Buffer
	if s.pack == nil {
		if s.pack, err = flate.NewWriter(&packed, flate.BestSpeed); err != nil {
			return err
		}
	}
	s.pack.Reset(&packed)
	_, err = s.pack.Write(content)
	if err = errors.Join(err, s.pack.Close()); err != nil {
		return err
	}
	if _, err := s.file.WriteAt(packed.Bytes(), s.size); err != nil {
		return fmt.Errorf("there is no room to unpack it: %w", err)
	}
	s.places[hash] = place{s.size, int64(packed.Len())}
	s.size += int64(packed.Len())
	return nil
}

// version gives the contents of a version's files.
func (s *spill) version(number int64, files []store.File) (map[string][]byte, error) {
	content, now := map[string][]byte{}, make(map[store.Hash][]byte, len(files))
	for _, f := range files {
		text, known := s.last[f.Hash]
		if !known {
			at, there := s.places[f.Hash]
			if !there {
				return nil, fmt.Errorf("version %d has the content %s, which is missing", number, f.Hash)
			}
			var err error
			text, err = io.ReadAll(flate.NewReader(io.NewSectionReader(s.file, at.offset, at.length)))
			if err != nil {
				return nil, fmt.Errorf("version %d: its content cannot be read again: %w", number, err)
			}
			if store.Sum(text) != f.Hash {
				return nil, fmt.Errorf("version %d: the content %s was changed while it was unpacked", number, f.Hash)
			}
		}
		content[f.Name], now[f.Hash] = text, text
	}
	s.last = now
	return content, nil
}

// close takes the temporary file away.
func (s *spill) close() error {
	if s.file == nil {
		return nil
	}
	return errors.Join(s.file.Close(), os.Remove(s.file.Name()))
}
