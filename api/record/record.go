package record

import "time"

// Kind says what a record is of.
type Kind string

// The kinds of record.
const (
	KindAnswer Kind = "answer" // an answer with its question and data
	KindChoice Kind = "choice" // the option that was taken
	KindFact   Kind = "fact"   // an activity that has ended
)

// AnswerRecord is what is kept of one answer.
type AnswerRecord struct {
	Asked    string            // what was asked, and so how to ask it again: "options", "reach"; no spaces
	At       time.Time         // decision time that the answer counts from
	MadeAt   time.Time         // clock when it was computed, which stands in for what the question leaves out; zero: Options.Now
	Request  []byte            // the question as JSON text, exactly; must pass Check; up to MaxRequest bytes
	Answer   []byte            // the answer as it was sent, exactly; 1 to MaxAnswer bytes
	Versions map[string]string // what the answer says it was made from: "engine", "facilities"...; no spaces
	Data     []Data            // everything it was made from, such as the region's files
}

// Data is content that answers were made from. It is kept once, however many
// answers use it.
type Data struct {
	Name  string // what it is: "fleet.json"; no spaces
	Hash  Hash   // from Sum, once for many answers
	Bytes []byte // read only where it is not kept yet; up to MaxBlob bytes
}

// NewData returns content with its hash.
func NewData(name string, content []byte) Data { return Data{name, Sum(content), content} }

// Limits on the size of what is kept, in bytes.
const (
	MaxRequest = 256 << 10
	MaxAnswer  = 8 << 20
	MaxBlob    = 256 << 20
)

// Named is the hash of data with what it was used as.
type Named struct {
	Name string `json:"name"`
	Hash Hash   `json:"sha256"`
}

// Record is one record as it was read back. Times are in UTC.
type Record struct {
	Number int64  // running number
	ID     string // id of the answer: its own, or the one that a choice or fact belongs to
	Kind   Kind
	At     time.Time // answer: decision time; choice: when it was made; fact: when the activity ended
	MadeAt time.Time // when the answer was computed, the choice or fact was noted

	Asked      string            // answer: as in AnswerRecord
	Request    []byte            // answer: as in AnswerRecord
	Answer     []byte            // answer: as in AnswerRecord
	AnswerHash Hash              // answer: SHA-256 of Answer
	Versions   map[string]string // answer: as in AnswerRecord
	Data       []Named           // answer: what Blob returns the content of

	Option string // choice: id of the option
	What   string // fact: id of the activity
}
