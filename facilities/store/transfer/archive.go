package transfer

import (
	"archive/tar"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"strings"
	"time"

	"surgeonward/facilities/store"
)

// A backup is a tar file in gzip form, as any archive program opens it:
//
//	contents/<sha256>          each content once, before the first version that has it
//	versions/000000000001.json each version: number, at, who, why, what, more, files
//	end.json                   how many versions there are, so that a file that is cut off is found
const (
	contentsFolder = "contents/"
	versionsFolder = "versions/"
	endName        = "end.json"
)

// The limits on a backup that is read.
const (
	maxEntry  = 512 << 20 // bytes of a version's entry: see store.Edit.Check
	backupMod = 0o600
)

// entry is the form of a version in a backup.
type entry struct {
	Number int64          `json:"number"`
	At     time.Time      `json:"at"`
	Who    string         `json:"who"`
	Why    string         `json:"why,omitempty"`
	What   []store.Change `json:"what,omitempty"`
	More   int            `json:"more,omitempty"`
	Files  []store.File   `json:"files"`
}

type end struct {
	Versions int64 `json:"versions"`
}

// Write writes a store's versions as a backup and returns how many there are.
func Write(ctx context.Context, w io.Writer, s store.Store) (count int64, err error) {
	zip := gzip.NewWriter(w)
	out := tar.NewWriter(zip)
	written := map[store.Hash]bool{}
	for v, err := range Versions(ctx, s) {
		if err != nil {
			return count, err
		}
		for _, f := range v.Files {
			if written[f.Hash] {
				continue
			}
			written[f.Hash] = true
			if err := put(out, contentsFolder+f.Hash.String(), v.At, v.Content[f.Name]); err != nil {
				return count, err
			}
		}
		if err := putJSON(out, fmt.Sprintf("%s%012d.json", versionsFolder, v.Number), v.At,
			entry{v.Number, v.At, v.Who, v.Why, v.What, v.More, v.Files}); err != nil {
			return count, err
		}
		count++
	}
	err = putJSON(out, endName, time.Time{}, end{count})
	return count, errors.Join(err, out.Close(), zip.Close())
}

func putJSON(out *tar.Writer, name string, at time.Time, value any) error {
	text, err := json.Marshal(value)
	if err != nil {
		return err
	}
	return put(out, name, at, text)
}

func put(out *tar.Writer, name string, at time.Time, content []byte) error {
	err := out.WriteHeader(&tar.Header{Name: name, Mode: backupMod, Size: int64(len(content)), ModTime: at.Truncate(time.Second)})
	if err != nil {
		return err
	}
	_, err = out.Write(content)
	return err
}

// errBackup begins what is wrong with a backup.
var errBackup = errors.New("the backup cannot be used")

// Read yields the versions of a backup. An error ends it, one for a backup that
// is cut off or was changed included. What it unpacks is in a temporary file
// until it ends, so that a backup of any length takes the memory of a few versions.
func Read(r io.Reader) iter.Seq2[*store.Version, error] {
	return func(yield func(*store.Version, error) bool) {
		b, err := newBackup(r)
		if err != nil {
			yield(nil, fmt.Errorf("%w: %w", errBackup, err))
			return
		}
		defer func() { _ = b.contents.close() }() // nothing is lost with it
		for err == nil {
			var v *store.Version
			if v, err = b.next(); v != nil && !yield(v, nil) {
				return
			}
		}
		if !errors.Is(err, io.EOF) {
			yield(nil, fmt.Errorf("%w: %w", errBackup, err))
		}
	}
}

// backup is a backup that is being read.
type backup struct {
	zip      *gzip.Reader
	in       *tar.Reader
	contents *spill
	count    int64
	ended    bool
}

func newBackup(r io.Reader) (*backup, error) {
	zip, err := gzip.NewReader(r)
	if err != nil {
		return nil, fmt.Errorf("it is no gzip file: %w", cutOff(err))
	}
	return &backup{zip: zip, in: tar.NewReader(zip), contents: newSpill()}, nil
}

// next reads one file of the backup; a version where it is one. The error is
// io.EOF after the last.
func (b *backup) next() (*store.Version, error) {
	header, err := b.in.Next()
	if errors.Is(err, io.EOF) {
		if !b.ended {
			return nil, errors.New("it is cut off")
		}
		// the checksum of all comes last
		if _, err := io.Copy(io.Discard, b.zip); err != nil {
			return nil, cutOff(err)
		}
		return nil, io.EOF
	}
	if err != nil {
		return nil, cutOff(err)
	}
	if b.ended {
		return nil, fmt.Errorf("%.60q follows after its end", header.Name)
	}
	switch {
	case strings.HasPrefix(header.Name, contentsFolder):
		return nil, b.content(strings.TrimPrefix(header.Name, contentsFolder))
	case strings.HasPrefix(header.Name, versionsFolder):
		return b.version()
	case header.Name == endName:
		var e end
		if err := b.json(&e); err != nil {
			return nil, err
		}
		if e.Versions != b.count {
			return nil, fmt.Errorf("it has %d versions and should have %d", b.count, e.Versions)
		}
		b.ended = true
		return nil, nil
	}
	return nil, fmt.Errorf("%.60q is none of its files", header.Name)
}

// cutOff says in words what the end of a file in the middle means.
func cutOff(err error) error {
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		return errors.New("it is cut off")
	}
	return err
}

func (b *backup) read(most int64) ([]byte, error) {
	text, err := io.ReadAll(io.LimitReader(b.in, most+1))
	if err != nil {
		return nil, cutOff(err)
	}
	if int64(len(text)) > most {
		return nil, fmt.Errorf("a file in it is longer than %d bytes", most)
	}
	return text, nil
}

func (b *backup) json(into any) error {
	text, err := b.read(maxEntry)
	if err != nil {
		return err
	}
	return json.Unmarshal(text, into)
}

func (b *backup) content(name string) error {
	var hash store.Hash
	if err := hash.UnmarshalText([]byte(name)); err != nil {
		return err
	}
	content, err := b.read(store.MaxFile)
	if err != nil {
		return err
	}
	if store.Sum(content) != hash {
		return fmt.Errorf("the content %s was changed", hash)
	}
	return b.contents.put(hash, content)
}

func (b *backup) version() (*store.Version, error) {
	var e entry
	if err := b.json(&e); err != nil {
		return nil, err
	}
	content, err := b.contents.version(e.Number, e.Files)
	if err != nil {
		return nil, err
	}
	b.count++
	return &store.Version{
		Entry:   store.Entry{Number: e.Number, At: e.At, Who: e.Who, Why: e.Why, What: e.What, More: e.More, Files: e.Files},
		Content: content,
	}, nil
}
