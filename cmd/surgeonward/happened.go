package main

import (
	"fmt"
	"strings"

	"surgeonward/routing"
)

// factFlags are what the command line says of what has happened to assets and
// at hospitals.
type factFlags struct {
	Happened []string `help:"What has happened, as heli-1,lifted,2031-03-14T21:46:00Z; with a hospital at the end for at_hospital and handed_over; alerted,TIME,HOSPITAL for a pre-alert. Repeat it for more." sep:"none" placeholder:"ASSET,EVENT,TIME" group:"The question:"`
}

func (f *factFlags) factMembers() []memberFlag {
	facts := make([]map[string]any, len(f.Happened))
	for i, text := range f.Happened {
		facts[i], _ = readHappened(text)
	}
	return []memberFlag{{"--happened", []string{"happened"}, len(facts) > 0, facts}}
}

// wellFormed finds what is no fact at all; what is wrong with one the decoder says.
func (f *factFlags) wellFormed() error {
	var lines faultsError
	for _, text := range f.Happened {
		if _, ok := readHappened(text); !ok {
			lines = append(lines, fmt.Sprintf("--happened: write ASSET,EVENT,TIME or ASSET,EVENT,TIME,HOSPITAL, or alerted,TIME,HOSPITAL (got %q)", text))
		}
	}
	if len(lines) == 0 {
		return nil
	}
	return usageError{lines}
}

// readHappened reads one fact as it stands in the request.
func readHappened(text string) (map[string]any, bool) {
	words := strings.Split(text, ",")
	for i := range words {
		words[i] = strings.TrimSpace(words[i])
		if words[i] == "" {
			return nil, false
		}
	}
	switch {
	case len(words) == 3 && words[0] == string(routing.Alerted):
		return map[string]any{"event": words[0], "at": words[1], "facility": words[2]}, true
	case len(words) == 3:
		return map[string]any{"asset": words[0], "event": words[1], "at": words[2]}, true
	case len(words) == 4:
		return map[string]any{"asset": words[0], "event": words[1], "at": words[2], "facility": words[3]}, true
	}
	return nil, false
}
