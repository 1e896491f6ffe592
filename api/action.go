package api

import (
	"encoding/json"
	"fmt"
	"io"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/strictjson"
)

// action is a change of an element's state in one call. It needs no
// precondition, because it says what is so now whatever was so before, but keeps
// one that is given.
type action struct {
	schema func() (*strictjson.Schema, error)
	// patch is what a body does to the element old: a merge patch, and a word for
	// the history.
	patch func(body map[string]any, old []byte) (patch map[string]any, word string, err error)
}

func newAction(schema string, patch func(map[string]any, []byte) (map[string]any, string, error)) *action {
	return &action{
		schema: sync.OnceValues(func() (*strictjson.Schema, error) { return compileSchema("/components/schemas/" + schema) }),
		patch:  patch,
	}
}

var (
	acceptingAction = newAction("AcceptingAction", acceptingPatch)
	awayAction      = newAction("AwayAction", awayPatch)
	stateAction     = newAction("StateAction", statePatch)
	closedAction    = newAction("ClosedAction", closedPatch)
)

// act answers a request for an action on an element.
func (s *service) act(l *collection, a *action) echo.HandlerFunc {
	return func(c echo.Context) error {
		w := &write{list: l, demand: preconditionOf(c.Request()), loose: true}
		var err error
		if w.live, w.by, err = s.editor(c); err != nil {
			return err
		}
		if _, err = accepted(c, l.media...); err != nil {
			return err
		}
		if w.id, err = l.idIn(c); err != nil {
			return err
		}
		if err = onlyMedia(c.Request(), typeJSON); err != nil {
			return err
		}
		body, err := io.ReadAll(c.Request().Body)
		if err != nil {
			return unread(err)
		}
		schema, err := a.schema()
		if err != nil {
			return err
		}
		said, fault := readAction(schema, body, s.now())
		if reason, ok := said["reason"].(string); ok && w.by.why == "" {
			w.by.why = reason
		}
		return s.commit(c, w, func(old, content []byte) (change, error) {
			if fault != nil {
				return change{}, fault
			}
			patch, word, err := a.patch(said, old)
			if err != nil {
				return change{}, err
			}
			text, err := json.Marshal(patch)
			if err != nil {
				return change{}, err
			}
			after, err := region.Patch(l.file, content, w.id, text)
			return change{action: word, content: after}, err
		})
	}
}

// readAction reads a body and checks what no schema can: that times are to come.
func readAction(schema *strictjson.Schema, body []byte, now time.Time) (map[string]any, error) {
	limits := strictjson.Limits{Bytes: MaxBody}
	value, faults := schema.Check(body, limits)
	if len(faults) > 0 {
		k := invalidContent
		if _, broken := strictjson.Parse(body, limits); len(broken) > 0 {
			k = badJSON
		}
		return nil, faulty(k, wire.Pointers(faults), nil)
	}
	said, _ := value.(map[string]any)
	for _, name := range []string{"until", "free_at"} {
		text, given := said[name].(string)
		if !given {
			continue
		}
		at, err := time.Parse(time.RFC3339, text)
		switch {
		case err != nil:
			faults = append(faults, strictjson.Fault{Pointer: "/" + name, Detail: name + " must be a time with its zone, such as 2031-03-14T23:00:00Z"})
		case !at.After(now):
			faults = append(faults, strictjson.Fault{Pointer: "/" + name, Detail: fmt.Sprintf("%s has passed already: it is %s now", name, now.UTC().Format(time.RFC3339))})
		}
	}
	if said["state"] == "open" && said["until"] != nil {
		faults = append(faults, strictjson.Fault{Pointer: "/until", Detail: "until is the end of a divert or a closing: remove it, or change the state"})
	}
	if said["closed"] == true && said["reason"] == nil {
		faults = append(faults, strictjson.Fault{Detail: "missing field \"reason\": say why it is closed"})
	}
	if len(faults) > 0 {
		return nil, faulty(invalidContent, wire.Pointers(faults), nil)
	}
	return said, nil
}

// among picks members of what was said; those that were not said become null,
// which removes them.
func among(said map[string]any, names ...string) map[string]any {
	out := map[string]any{}
	for _, name := range names {
		out[name] = said[name]
	}
	return out
}

func acceptingPatch(said map[string]any, _ []byte) (map[string]any, string, error) {
	if said["state"] == "open" {
		return map[string]any{"properties": map[string]any{"accepting": nil}}, "accept", nil
	}
	word := "divert"
	if said["state"] == "closed" {
		word = "close"
	}
	return map[string]any{"properties": map[string]any{"accepting": among(said, "state", "reason", "until")}}, word, nil
}

// awayPatch puts an absence in the place of the one of the same surgeon or
// theatre, or takes it away.
func awayPatch(said map[string]any, old []byte) (map[string]any, string, error) {
	var element struct {
		Properties struct {
			Away []map[string]any `json:"away"`
		} `json:"properties"`
	}
	if err := json.Unmarshal(old, &element); err != nil {
		return nil, "", err
	}
	rest := []map[string]any{}
	for _, a := range element.Properties.Away {
		if a["what"] != said["what"] || a["capability"] != said["capability"] {
			rest = append(rest, a)
		}
	}
	word := "back"
	if away, given := said["away"].(bool); away || !given {
		entry := map[string]any{}
		for _, name := range []string{"what", "capability", "reason", "until"} {
			if v, given := said[name]; given {
				entry[name] = v
			}
		}
		rest, word = append(rest, entry), "away"
	}
	var list any
	if len(rest) > 0 {
		list = rest
	}
	return map[string]any{"properties": map[string]any{"away": list}}, word, nil
}

// statePatch says what a vehicle is doing. At its base is what one without a
// state is.
func statePatch(said map[string]any, _ []byte) (map[string]any, string, error) {
	patch := among(said, "state", "position", "free_at", "until")
	if said["state"] == "at_base" && said["until"] == nil {
		patch["state"] = nil
	}
	return patch, "state", nil
}

func closedPatch(said map[string]any, _ []byte) (map[string]any, string, error) {
	if closed, _ := said["closed"].(bool); !closed {
		return map[string]any{"properties": map[string]any{"closed": nil}}, "reopen", nil
	}
	return map[string]any{"properties": map[string]any{"closed": among(said, "reason", "until")}}, "close", nil
}
