package record

import (
	"bytes"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/disk/sealed"
)

// The seam to the file system, for tests that fail it.
type (
	FileSystem = disk.FileSystem
	File       = disk.File
)

var Disk FileSystem = disk.Machine{}

func OpenOn(files FileSystem, dir string, opts Options) (*Store, Report, error) {
	return openStore(files, dir, opts)
}

func OpenReadOnlyOn(files FileSystem, dir string) (*Reader, Report, error) {
	return openReader(files, dir)
}

// Scanned is a line that a scan took for a record.
type Scanned struct {
	Number         int64
	Offset, Length int64
}

// Scan reads a segment's text.
func Scan(text []byte, last int64) (records []Scanned, damage []Damage, whole, torn int64, err error) {
	s, err := scan(bytes.NewReader(text), nameSegment(1), 1, last)
	if err != nil {
		return nil, nil, 0, 0, err
	}
	for _, e := range s.entries {
		records = append(records, Scanned{e.number, e.offset, int64(e.length)})
	}
	return records, s.damage, s.size, s.torn, nil
}

// Decode reads a record's line without its end.
func Decode(line []byte) (Record, error) {
	h, err := decodeHead(line)
	if err != nil {
		return Record{}, err
	}
	return decodeLine(&h, line)
}

// BodyFrom is where the checksummed part of a line begins.
const BodyFrom = sealed.BodyFrom

// Seal writes a checksum over the body of a line, whatever it is.
func Seal(body []byte) []byte {
	return append([]byte(`{"format":1,"crc32c":"`+sealed.Sum(body)+`",`), body...)
}

// Dir is the folder of the record.
func (r *Reader) Dir() string { return r.dir }
