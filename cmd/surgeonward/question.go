package main

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"strings"

	"surgeonward/testdata"
)

// questionFlags are a question on the command line. They end up as the body of
// one POST /v1/options request, so that both interfaces ask the same.
type questionFlags struct {
	Scene    string   `help:"Where the patient is, latitude first, in any usual form: \"45 31.2N 29 24.6W\"." placeholder:"POSITION" group:"The question:"`
	Facility string   `help:"The patient is in this hospital: a transfer." placeholder:"ID" group:"The question:"`
	Scenario string   `help:"A worked scenario of the demonstration region." placeholder:"NAME" group:"The question:"`
	Request  string   `help:"File with the JSON body of a request; - reads standard input." placeholder:"FILE" group:"The question:"`
	At       *string  `help:"Decision time with zone, such as 2031-03-14T21:40:00Z (default: now)." placeholder:"TIME" group:"The question:"`
	Age      *float64 `help:"Age of the patient in years (default: an adult)." placeholder:"YEARS" group:"The question:"`
	Need     []string `help:"What the hospital must be able to do; repeat it for more." sep:"none" placeholder:"CAPABILITY" group:"The question:"`
	Escort   *string  `help:"A skill that must ride along, such as physician." placeholder:"SKILL" group:"The question:"`
	Landing  *string  `help:"Can a helicopter land beside the patient: possible, impossible or unknown." placeholder:"WORD" group:"The question:"`
	Limit    *int     `help:"Most options to list (default: 10)." placeholder:"N" group:"The question:"`
	RankBy   *string  `help:"Rank by the typical or by the slow total (default: typical)." placeholder:"WORD" group:"The question:"`
}

// flagOf names the flag behind a place in the request.
var flagOf = []struct{ pointer, flag string }{
	{"#/scene/position_text", "--scene"},
	{"#/scene/facility", "--facility"},
	{"#/scene/landing", "--landing"},
	{"#/at", "--at"},
	{"#/patient/age_years", "--age"},
	{"#/patient/needs", "--need"},
	{"#/patient/escort", "--escort"},
	{"#/limit", "--limit"},
	{"#/rank_by", "--rank-by"},
}

// check finds what the flags get wrong among themselves.
func (q *questionFlags) check(region string) error {
	sources := 0
	for _, given := range []string{q.Scene, q.Facility, q.Scenario, q.Request} {
		if given != "" {
			sources++
		}
	}
	parts := q.At != nil || q.Age != nil || q.Need != nil || q.Escort != nil || q.Landing != nil || q.Limit != nil || q.RankBy != nil
	switch {
	case sources == 0:
		return usageError{errors.New("no question: give one of --scene, --facility, --scenario and --request")}
	case sources > 1:
		return usageError{errors.New("more than one question: give only one of --scene, --facility, --scenario and --request")}
	case parts && (q.Scenario != "" || q.Request != ""):
		return usageError{errors.New("--scenario and --request are whole questions: change the request itself instead of adding flags")}
	case q.Scenario != "" && region != "":
		return usageError{errors.New("the scenarios belong to the demonstration region: leave --region out")}
	}
	return nil
}

// maxRequest is more than any request the decoder takes, in bytes: the decoder
// itself says what is too long.
const maxRequest = 8 << 20

// body is the question as a request.
func (q *questionFlags) body(stdin io.Reader) ([]byte, error) {
	switch {
	case q.Scenario != "":
		return scenario(q.Scenario)
	case q.Request == "-":
		return io.ReadAll(io.LimitReader(stdin, maxRequest))
	case q.Request != "":
		f, err := os.Open(q.Request)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		return io.ReadAll(io.LimitReader(f, maxRequest))
	}
	type members map[string]any
	scene, patient, body := members{}, members{}, members{"scene": nil}
	set(scene, "position_text", nonEmpty(q.Scene))
	set(scene, "facility", nonEmpty(q.Facility))
	set(scene, "landing", q.Landing)
	set(patient, "age_years", q.Age)
	set(patient, "escort", q.Escort)
	if q.Need != nil {
		patient["needs"] = q.Need
	}
	set(body, "at", q.At)
	set(body, "limit", q.Limit)
	set(body, "rank_by", q.RankBy)
	body["scene"] = scene
	if len(patient) > 0 {
		body["patient"] = patient
	}
	return json.Marshal(body)
}

// set adds a member that was given.
func set[M ~map[string]any, T any](m M, name string, value *T) {
	if value != nil {
		m[name] = *value
	}
}

func nonEmpty(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// scenario is the request of a worked scenario.
func scenario(name string) ([]byte, error) {
	data, err := fs.ReadFile(testdata.Scenarios, name+".json")
	if err == nil {
		return data, nil
	}
	entries, err := fs.ReadDir(testdata.Scenarios, ".")
	if err != nil {
		return nil, err
	}
	var names []string
	for _, e := range entries {
		if n, ok := strings.CutSuffix(e.Name(), ".json"); ok {
			names = append(names, n)
		}
	}
	return nil, usageError{errors.New("no scenario of that name: there are " + strings.Join(names, ", "))}
}

// flagFor names the flag that a fault of a question made of flags belongs to,
// or the place in the request where there is none.
func flagFor(pointer string) string {
	for _, f := range flagOf {
		if pointer == f.pointer || strings.HasPrefix(pointer, f.pointer+"/") {
			return f.flag
		}
	}
	return pointer
}
