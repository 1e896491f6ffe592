package record

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"surgeonward/facilities/disk/sealed"
)

// form is that of the record's lines.
const form sealed.Form = "record"

// maxLine bounds a line: base64 of an answer that does not compress, and a
// request of which each byte is escaped as six.
const maxLine = MaxAnswer/3*4 + 6*MaxRequest + 1<<20

// head is the part of a record that the index is made of. It stands first in the
// line, so that the rest need not be decoded for it.
type head struct {
	Number     int64             `json:"n"`
	ID         string            `json:"id"`
	Kind       Kind              `json:"kind"`
	At         time.Time         `json:"at"`
	MadeAt     time.Time         `json:"made_at"`
	Asked      string            `json:"asked,omitempty"`
	AnswerHash *Hash             `json:"answer_sha256,omitempty"`
	Versions   map[string]string `json:"versions,omitempty"`
	Data       []Named           `json:"data,omitempty"`
	Option     string            `json:"option,omitempty"`
	What       string            `json:"what,omitempty"`
}

// bulk are the large members of an answer's line, already as JSON.
type bulk struct{ request, answer []byte }

// encodeLine writes a line with its end.
func encodeLine(h *head, b bulk) ([]byte, error) {
	small, err := json.Marshal(h)
	if err != nil {
		return nil, err
	}
	line := append(form.Begin(len(small)+len(b.request)+len(b.answer)+40), small...)
	if b.request != nil {
		line = append(append(line, `,"request":`...), b.request...)
		line = append(append(line, `,"answer_gzip":`...), b.answer...)
	}
	return form.End(line), nil
}

// decodeHead checks a line, without its end, and reads the part for the index.
func decodeHead(line []byte) (head, error) {
	body, err := form.Open(line)
	if err != nil {
		return head{}, err
	}
	var h head
	// the decoder stops at the end of the record and leaves the bulk alone
	if err := json.NewDecoder(bytes.NewReader(body)).Decode(&h); err != nil {
		return head{}, fmt.Errorf("cannot be read: %w", err)
	}
	return h, h.check()
}

func (h *head) check() error {
	number, err := ParseID(h.ID)
	switch {
	case err != nil:
		return fmt.Errorf("has no answer's id: %w", err)
	case h.Number < 1 || h.Number > MaxNumber:
		return fmt.Errorf("has the number %d, which is not 1 to %d", h.Number, MaxNumber)
	case FormatID(number) != h.ID:
		return fmt.Errorf("has the id %q in another form than %s", h.ID, FormatID(number))
	case h.Kind == KindAnswer:
		if number != h.Number || h.AnswerHash == nil {
			return errors.New("is an answer without its own id or hash")
		}
	case h.Kind != KindChoice && h.Kind != KindFact:
		return fmt.Errorf("is of the unknown kind %.40q: written by a later version", h.Kind)
	case number >= h.Number:
		return errors.New("belongs to an answer that comes after it")
	}
	return nil
}

// decodeLine reads the whole of a line that decodeHead has accepted.
func decodeLine(h *head, line []byte) (Record, error) {
	r := Record{
		Number: h.Number, ID: h.ID, Kind: h.Kind, At: h.At.UTC(), MadeAt: h.MadeAt.UTC(),
		Asked: h.Asked, Versions: h.Versions, Data: h.Data, Option: h.Option, What: h.What,
	}
	if h.Kind != KindAnswer {
		return r, nil
	}
	var large struct {
		Request string `json:"request"`
		Answer  []byte `json:"answer_gzip"`
	}
	if err := json.Unmarshal(line, &large); err != nil {
		return Record{}, fmt.Errorf("cannot be read: %w", err)
	}
	answer, err := inflate(large.Answer)
	if err != nil {
		return Record{}, fmt.Errorf("has an answer that cannot be read: %w", err)
	}
	if Sum(answer) != *h.AnswerHash {
		return Record{}, errors.New("has an answer that does not match its SHA-256")
	}
	r.Request, r.Answer, r.AnswerHash = []byte(large.Request), answer, *h.AnswerHash
	return r, nil
}

// newBulk prepares the large members. The request is valid UTF-8: Check has
// seen it.
func newBulk(request, answer []byte) (bulk, error) {
	text, err := jsonText(string(request))
	if err != nil {
		return bulk{}, err
	}
	packed, err := deflate(answer)
	if err != nil {
		return bulk{}, err
	}
	quoted := make([]byte, 0, 2+base64.StdEncoding.EncodedLen(len(packed)))
	quoted = append(base64.StdEncoding.AppendEncode(append(quoted, '"'), packed), '"')
	return bulk{text, quoted}, nil
}

// packers are gzip writers for use again: a new one takes a megabyte.
var packers = sync.Pool{New: func() any {
	w, _ := gzip.NewWriterLevel(nil, gzip.BestSpeed) // the level is a valid one
	return w
}}

func deflate(answer []byte) ([]byte, error) {
	w := packers.Get().(*gzip.Writer)
	defer packers.Put(w)
	var packed bytes.Buffer
	w.Reset(&packed)
	if _, err := w.Write(answer); err != nil {
		return nil, err
	}
	err := w.Close()
	return packed.Bytes(), err
}

// jsonText quotes a text without the escapes that are for HTML pages.
func jsonText(text string) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(text)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

func inflate(packed []byte) ([]byte, error) {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	answer, err := io.ReadAll(io.LimitReader(r, MaxAnswer+1))
	if err != nil {
		return nil, err
	}
	if len(answer) > MaxAnswer {
		return nil, fmt.Errorf("longer than %d bytes", MaxAnswer)
	}
	return answer, r.Close()
}
