package wire

import (
	"encoding/json"
	"time"

	"surgeonward/api/record"
)

// Kept is the JSON form of what is kept of one answer.
type Kept struct {
	ID           string            `json:"id"`
	Asked        string            `json:"asked"`
	At           string            `json:"at"`
	MadeAt       string            `json:"made_at"` // to the nanosecond: it stands in for what the question leaves out
	Question     json.RawMessage   `json:"question"`
	Answer       json.RawMessage   `json:"answer"`
	AnswerSHA256 string            `json:"answer_sha256"`
	Versions     map[string]string `json:"versions"`
	Data         []record.Named    `json:"data"`
	Choices      []Choice          `json:"choices"`
	Facts        []Fact            `json:"facts"`
	Unreadable   int               `json:"unreadable"`
}

// Choice is that an option was taken.
type Choice struct {
	Option  string `json:"option"`
	At      string `json:"at"`
	NotedAt string `json:"noted_at"`
}

// Fact is that an activity has ended.
type Fact struct {
	What    string `json:"what"`
	At      string `json:"at"`
	NotedAt string `json:"noted_at"`
}

// EncodeKept makes the JSON form of an answer and what was noted of it, as
// record.Reader.Case returns them, with how many records could not be read.
func EncodeKept(records []record.Record, unreadable int) Kept {
	a := &records[0]
	out := Kept{
		ID: a.ID, Asked: a.Asked, At: utc(a.At), MadeAt: a.MadeAt.Format(time.RFC3339Nano),
		Question: a.Request, Answer: a.Answer, AnswerSHA256: a.AnswerHash.String(), Versions: a.Versions, Data: a.Data,
		Choices: []Choice{}, Facts: []Fact{}, Unreadable: unreadable,
	}
	if out.Versions == nil {
		out.Versions = map[string]string{}
	}
	if out.Data == nil {
		out.Data = []record.Named{}
	}
	for _, n := range records[1:] {
		switch n.Kind {
		case record.KindChoice:
			out.Choices = append(out.Choices, Choice{n.Option, utc(n.At), utc(n.MadeAt)})
		case record.KindFact:
			out.Facts = append(out.Facts, Fact{n.What, utc(n.At), utc(n.MadeAt)})
		}
	}
	return out
}
