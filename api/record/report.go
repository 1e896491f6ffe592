package record

import "fmt"

// Report says what Open found and did. Damage and missing data stay as they
// are: a person must decide.
type Report struct {
	Segments int
	Records  int
	Bytes    int64    // of segments and blobs
	Damaged  []Damage // lines that are skipped
	Torn     []Torn   // half lines, never acknowledged
	Missing  []Hash   // blobs that records name and that are not there
	Removed  int      // blobs deleted because no record names them
}

// Torn is a line that has no end, as a crash leaves it.
type Torn struct {
	Segment string // file in the folder segments
	Offset  int64  // of its first byte
	Length  int64  // in bytes
	KeptAs  string // file in the folder segments that has it now; empty: it was left, for reading only
}

// Sentences lists what somebody should look at, one sentence each; nothing when
// all is well.
func (r *Report) Sentences() []string {
	var out []string
	for i := range r.Damaged {
		out = append(out, r.Damaged[i].Error())
	}
	for _, t := range r.Torn {
		what := "left as it is: it is being written, or a crash left it"
		if t.KeptAs != "" {
			what = "cut off and kept as segments/" + t.KeptAs
		}
		out = append(out, fmt.Sprintf("half a line: segments/%s, %d bytes from byte %d, %s", t.Segment, t.Length, t.Offset, what))
	}
	for _, h := range r.Missing {
		out = append(out, fmt.Sprintf("data missing: blob %s is named by a record and is not there", h))
	}
	return out
}
