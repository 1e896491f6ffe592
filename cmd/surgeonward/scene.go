package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"

	"surgeonward/api/wire"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
	"surgeonward/testdata"
)

// sceneFlags are what every question says: where the patient is, when, and in
// which weather, or a request that says so.
type sceneFlags struct {
	Scene    string   `help:"Where the patient is, latitude first, in any usual form: \"45 31.2N 29 24.6W\"." placeholder:"POSITION" group:"The question:"`
	Facility string   `help:"The patient is in this hospital: a transfer." placeholder:"ID" group:"The question:"`
	Scenario string   `help:"A worked scenario of the demonstration region." placeholder:"NAME" group:"The question:"`
	Request  string   `help:"File with the JSON body of a request; - reads standard input." placeholder:"FILE" group:"The question:"`
	At       *string  `help:"Decision time with zone, such as 2031-03-14T21:40:00Z (default: now)." placeholder:"TIME" group:"The question:"`
	Landing  *string  `help:"Can a helicopter land beside the patient: possible, impossible or unknown." placeholder:"WORD" group:"The question:"`
	Winch    bool     `help:"The patient can be winched up from where they lie." group:"The question:"`
	CarryM   *float64 `name:"carry-m" help:"How far the patient is carried by hand to the vehicle, in metres." placeholder:"METRES" group:"The question:"`

	weatherFlags `embed:""`
}

// numberFlag is a flag with a number.
type numberFlag struct {
	flag  string
	value *float64
}

func (q *sceneFlags) numbers() []numberFlag {
	return []numberFlag{{"--carry-m", q.CarryM}, {"--ceiling-ft", q.CeilingFt}, {"--visibility-m", q.VisibilityM}}
}

// check finds what the flags get wrong among themselves.
func (q *sceneFlags) check(region string, numbers []numberFlag) error {
	sources := 0
	for _, given := range []string{q.Scene, q.Facility, q.Scenario, q.Request} {
		if given != "" {
			sources++
		}
	}
	switch {
	case sources == 0:
		return usageError{errors.New("no question: give one of --scene, --facility, --scenario and --request")}
	case sources > 1:
		return usageError{errors.New("more than one question: give only one of --scene, --facility, --scenario and --request")}
	case q.Scenario != "" && region != "":
		return usageError{errors.New("the scenarios belong to the demonstration region: leave --region out")}
	case q.Weather != "" && region != "":
		return usageError{errors.New("the weathers belong to the demonstration region: use --report or --reports")}
	}
	for _, number := range numbers {
		if n := number.value; n != nil && (math.IsNaN(*n) || math.IsInf(*n, 0)) {
			return usageError{errors.New(number.flag + ": must be a number")} // JSON has no such numbers
		}
	}
	return nil
}

// maxRequest is more than any request the decoder takes, in bytes: the decoder
// itself says what is too long.
const maxRequest = 8 << 20

// body is the question as a request: the one named, or an empty one, with what
// the flags say in it.
func (q *sceneFlags) body(stdin io.Reader, members func() []memberFlag) ([]byte, error) {
	body, err := q.named(stdin)
	if err != nil {
		return nil, err
	}
	if err := q.readWeather(); err != nil {
		return nil, err
	}
	value, faults := strictjson.Parse(body, strictjson.Limits{Bytes: maxRequest})
	request, ok := value.(map[string]any)
	if len(faults) > 0 || !ok {
		return body, nil // the decoder says what is wrong with it
	}
	at := request["at"]
	if q.At != nil {
		at = *q.At
	}
	if err := q.readDemoWeather(at); err != nil {
		return nil, err
	}
	changed := false
	for _, m := range members() {
		if m.given && set(request, m.path, m.value) {
			changed = true
		}
	}
	if !changed {
		return body, nil
	}
	return json.Marshal(request)
}

// named is the request that a flag names; "{}" where none does.
func (q *sceneFlags) named(stdin io.Reader) ([]byte, error) {
	switch {
	case q.Scenario != "":
		return demoFile(testdata.Scenarios, ".", q.Scenario, ".json", "scenario")
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
	return []byte("{}"), nil
}

// memberFlag is a flag and the member of the request it sets.
type memberFlag struct {
	flag  string
	path  []string
	given bool
	value any
}

func (q *sceneFlags) members() []memberFlag {
	var carryM any
	if q.CarryM != nil {
		carryM = map[string]any{"distance_m": *q.CarryM}
	}
	return append([]memberFlag{
		{"--scene", []string{"scene", "position_text"}, q.Scene != "", q.Scene},
		{"--facility", []string{"scene", "facility"}, q.Facility != "", q.Facility},
		{"--landing", []string{"scene", "landing"}, q.Landing != nil, q.Landing},
		{"--winch", []string{"scene", "winch"}, q.Winch, true},
		{"--carry-m", []string{"scene", "carry"}, q.CarryM != nil, carryM},
		{"--at", []string{"at"}, q.At != nil, q.At},
	}, q.weatherFlags.members()...)
}

// set puts a value into an object, making the objects on the way. It reports
// false where something else stands in the way.
func set(object map[string]any, path []string, value any) bool {
	for _, name := range path[:len(path)-1] {
		if object[name] == nil {
			object[name] = map[string]any{}
		}
		inner, ok := object[name].(map[string]any)
		if !ok {
			return false
		}
		object = inner
	}
	object[path[len(path)-1]] = value
	return true
}

// flagFor names the flag that set what a fault is about, or the place in the
// request where none did.
func (q *sceneFlags) flagFor(pointer string, members []memberFlag) string {
	if from, ok := q.origin(pointer); ok {
		return from
	}
	for _, m := range members {
		at := "#/" + strings.Join(m.path, "/")
		rest, inside := strings.CutPrefix(pointer, at+"/")
		if !m.given || !inside && pointer != at {
			continue
		}
		index, _, _ := strings.Cut(rest, "/")
		if facts, ok := m.value.([]map[string]any); ok && inside && len(facts) > 1 {
			if n, err := strconv.Atoi(index); err == nil {
				return fmt.Sprintf("%s number %d", m.flag, n+1)
			}
		}
		return m.flag
	}
	return pointer
}

// explain lists the faults of a question by the flags they belong to.
func (q *sceneFlags) explain(err error, members []memberFlag) error {
	var asked *wire.RequestError
	var question *routing.QuestionError
	var all []wire.Fault
	switch {
	case errors.As(err, &asked):
		all = asked.Faults
	case errors.As(err, &question):
		all = wire.Pointers(question.Faults)
	default:
		return err
	}
	var lines faultsError
	for _, f := range all {
		lines = append(lines, fmt.Sprintf("%s: %s", q.flagFor(f.Pointer, members), f.Detail))
	}
	if q.Request == "" {
		return usageError{lines} // everything at fault was said in flags
	}
	return lines
}
