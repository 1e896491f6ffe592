package api

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"

	"surgeonward/api/region"
	"surgeonward/api/wire"
)

// The limits on listening to events.
const (
	MaxListeners  = 1000             // at a time
	heartbeat     = 15 * time.Second // between signs of life, under what proxies take for silence
	listenerStall = 10 * time.Second // how long a listener may not take what is written to it
)

const typeEvents = "text/event-stream"

// changeEvent says that the region is at a version now, and what changed since
// the one before. Reset says that the listener has missed more than is told:
// it must read everything anew.
type changeEvent struct {
	Version int64             `json:"version"`
	At      time.Time         `json:"at"`
	Who     string            `json:"who,omitempty"`
	Changes []wire.PastChange `json:"changes"`
	More    int               `json:"more,omitempty"`
	Reset   bool              `json:"reset,omitempty"`
}

// trustEvent says how far what is served can be trusted.
type trustEvent struct {
	Faults     int        `json:"faults"` // wrong with newer data, which is not served for that reason
	StaleSince *time.Time `json:"stale_since,omitempty"`
}

type stoppingKey struct{}

// stopping is closed when the server that a request came in by begins to stop;
// nil, which is never closed, where nobody said so.
func stopping(ctx context.Context) <-chan struct{} {
	c, _ := ctx.Value(stoppingKey{}).(<-chan struct{})
	return c
}

// events answers GET /v1/events: a stream of server-sent events whose ids are
// the numbers of versions. A listener that comes back with the last id it saw
// gets what it missed, each once.
func (s *service) events(c echo.Context) error {
	if s.live == nil {
		return &problem{kind: noThing, detail: "this service was started on data that does not change"}
	}
	if _, err := accepted(c, typeEvents); err != nil {
		return err
	}
	q, err := readQuery(c, "after")
	if err != nil {
		return err
	}
	after, err := number(q, "after", 0, 1<<62, -1)
	if err != nil {
		return err
	}
	if id := c.Request().Header.Get("Last-Event-ID"); id != "" {
		if n, err := strconv.ParseInt(id, 10, 64); err == nil && n >= 0 {
			after = n
		}
	}
	if s.listening.Add(1) > MaxListeners {
		s.listening.Add(-1)
		return &problem{kind: tooManyListeners, detail: fmt.Sprintf("%d listen already", MaxListeners)}
	}
	defer s.listening.Add(-1)
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, typeEvents)
	h.Set("X-Accel-Buffering", "no") // proxies hold a stream back otherwise
	if c.Request().Method == http.MethodHead {
		return c.NoContent(http.StatusOK)
	}
	l := listener{live: s.live, out: c.Response(), control: http.NewResponseController(c.Response()), last: after}
	_ = l.control.SetReadDeadline(time.Time{}) // the server's own would end the stream
	c.Response().WriteHeader(http.StatusOK)
	l.listen(c.Request().Context()) // what fails is the connection: there is nobody to tell
	return nil
}

// listener is one who listens. It has no queue: it is told of every version
// between the last it was told of and the newest, so that a slow one costs
// nothing but its connection.
type listener struct {
	live    *region.Live
	out     *echo.Response
	control *http.ResponseController
	last    int64 // version it knows; -1: none
	trust   string
}

func (l *listener) listen(ctx context.Context) {
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	if !l.write([]byte("retry: 2000\n\n")) {
		return
	}
	for first := true; ; first = false {
		state, changed := l.live.Watch()
		news, err := l.news(ctx, state)
		if err != nil {
			return // the listener comes back with its last id
		}
		trust, err := event("faults", 0, trustOf(state))
		if err != nil {
			return
		}
		if text := string(trust); text != l.trust && (!first || len(state.Rejected) > 0 || !state.StaleSince.IsZero()) {
			news = append(news, trust...)
		}
		l.trust = string(trust)
		if len(news) > 0 && !l.write(news) {
			return
		}
		select {
		case <-changed:
		case <-beat.C:
			if !l.write([]byte(":\n\n")) {
				return
			}
		case <-stopping(ctx):
			return
		case <-ctx.Done():
			return
		}
	}
}

// news are the events that the listener has not had.
func (l *listener) news(ctx context.Context, state region.State) ([]byte, error) {
	now := state.Version.Number
	switch {
	case l.last == now:
		return nil, nil
	case l.last < 0: // it knows nothing yet: tell it where it starts
		l.last = now
		return event("region", now, changeEvent{Version: now, At: wire.Told(state.Version.At), Changes: []wire.PastChange{}})
	}
	entries, all, err := l.live.Entries(ctx, l.last)
	if err != nil {
		return nil, err
	}
	if !all || l.last > now { // too far behind, or of another history
		l.last = now
		return event("region", now, changeEvent{Version: now, At: wire.Told(state.Version.At), Changes: []wire.PastChange{}, Reset: true})
	}
	var out bytes.Buffer
	for i := range entries {
		e := &entries[i]
		text, err := event("region", e.Number, changeEvent{Version: e.Number, At: wire.Told(e.At), Who: e.Who, Changes: wire.EncodeChanges(e.What, false), More: e.More})
		if err != nil {
			return nil, err
		}
		out.Write(text)
		l.last = e.Number
	}
	return out.Bytes(), nil
}

func trustOf(state region.State) trustEvent {
	out := trustEvent{Faults: len(state.Rejected)}
	if !state.StaleSince.IsZero() {
		out.StaleSince = &state.StaleSince
	}
	return out
}

// event writes one event; an id of 0 is none.
func event(kind string, id int64, value any) ([]byte, error) {
	data, err := wire.JSON(value) // one line
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if id > 0 {
		fmt.Fprintf(&out, "id: %d\n", id)
	}
	fmt.Fprintf(&out, "event: %s\ndata: %s\n\n", kind, bytes.TrimSpace(data))
	return out.Bytes(), nil
}

// write sends text; false where the listener does not take it.
func (l *listener) write(text []byte) bool {
	_ = l.control.SetWriteDeadline(time.Now().Add(listenerStall))
	if _, err := l.out.Write(text); err != nil {
		return false
	}
	return l.control.Flush() == nil
}
