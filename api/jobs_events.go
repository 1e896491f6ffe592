package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"surgeonward/api/job"
)

const jobEventsPath = jobsPath + ":id/events"

// jobEvents answers GET /v1/jobs/{id}/events: a stream of server-sent events, each the job
// as it is then, that ends with the job.
func (s *service) jobEvents(c echo.Context) error {
	j, err := s.jobSeen(c)
	if err != nil {
		return err
	}
	if _, err := accepted(c, typeEvents); err != nil {
		return err
	}
	if s.listening.Add(1) > MaxListeners {
		s.listening.Add(-1)
		return &problem{kind: tooManyListeners, detail: fmt.Sprintf("%d listen already", MaxListeners)}
	}
	defer s.listening.Add(-1)
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, typeEvents)
	h.Set("X-Accel-Buffering", "no")
	if c.Request().Method == http.MethodHead {
		return c.NoContent(http.StatusOK)
	}
	l := listener{out: c.Response(), control: http.NewResponseController(c.Response())}
	_ = l.control.SetReadDeadline(time.Time{}) // the server's own would end the stream
	c.Response().WriteHeader(http.StatusOK)
	l.follow(c.Request().Context(), s.jobs, j)
	return nil
}

// follow tells of a job until it is over.
func (l *listener) follow(ctx context.Context, q job.Service, j job.Job) {
	for {
		text, err := event("job", int64(j.Change)+1, toJobForm(j))
		if err != nil || !l.write(text) || j.State.Over() {
			return
		}
		for change := j.Change; change == j.Change; {
			if j, err = l.waitFor(ctx, q, j); err != nil {
				return
			}
		}
	}
}

// waitFor waits for a change, with a sign of life where there is none for long.
func (l *listener) waitFor(ctx context.Context, q job.Service, j job.Job) (job.Job, error) {
	beat, cancel := context.WithTimeout(ctx, heartbeat)
	defer cancel()
	go func() {
		select {
		case <-stopping(ctx):
			cancel()
		case <-beat.Done():
		}
	}()
	next, err := q.Wait(beat, j.ID, j.Change)
	switch {
	case err == nil:
		return next, nil
	case errors.Is(err, context.DeadlineExceeded) && ctx.Err() == nil:
		if !l.write([]byte(":\n\n")) {
			return j, errListenerGone
		}
		return j, nil
	}
	return j, err
}

var errListenerGone = errors.New("the listener does not take what is written")
