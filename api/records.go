package api

import (
	"context"
	"errors"
	"net/http"
	"sync"

	"github.com/labstack/echo/v4"

	"surgeonward/api/record"
	"surgeonward/api/wire"
	"surgeonward/facilities/strictjson"
)

// The schemas of notes, compiled when the first note comes.
var (
	choiceSchema = sync.OnceValues(func() (*strictjson.Schema, error) { return compileSchema("/components/schemas/ChoiceNote") })
	factSchema   = sync.OnceValues(func() (*strictjson.Schema, error) { return compileSchema("/components/schemas/FactNote") })
)

// store is the record, or the problem that none is kept.
func (s *service) store() (*record.Store, error) {
	if s.recorder == nil {
		return nil, &problem{kind: noThing, detail: "this service keeps no record: it is kept where the service was started with --record"}
	}
	return s.recorder.store, nil
}

// kept answers GET /v1/records/{id}.
func (s *service) kept(c echo.Context) error {
	store, err := s.store()
	if err != nil {
		return err
	}
	records, err := store.Case(c.Param("id"))
	if len(records) == 0 {
		return recordProblem(err)
	}
	return sendJSON(c, wire.EncodeKept(records, wire.Unreadable(err)))
}

// review answers GET /v1/records.
func (s *service) review(c echo.Context) error {
	span, err := wire.DecodeSpan(c.Request().URL.RawQuery)
	if err != nil {
		return err
	}
	store, err := s.store()
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	records, more := store.Page(span.From, span.To, span.After, span.Limit)
	rows, faults := record.Table(func(yield func(record.Record, error) bool) {
		for rec, err := range records {
			if ctx.Err() != nil || !yield(rec, err) {
				return
			}
		}
	})
	if err := ctx.Err(); err != nil {
		return err
	}
	form, err := wire.EncodeReview(rows, wire.Unreadable(faults))
	if err != nil {
		return err
	}
	if more && len(rows) > 0 {
		form.Next = rows[len(rows)-1].ID
	}
	return sendJSON(c, form)
}

// choose answers POST /v1/records/{id}/choice.
func (s *service) choose(c echo.Context) error {
	return s.note(c, choiceSchema, func(ctx context.Context, store *record.Store, rec *record.Record, n wire.Note) error {
		if n.At.IsZero() {
			n.At = s.now()
		}
		known, err := namesOf(rec)
		if err != nil {
			return err
		}
		if fault := known.choice(n.Option); fault != nil {
			return faulty(invalidContent, []wire.Fault{*fault}, nil)
		}
		return store.Choose(ctx, rec.ID, n.Option, n.At)
	})
}

// happened answers POST /v1/records/{id}/facts.
func (s *service) happened(c echo.Context) error {
	return s.note(c, factSchema, func(ctx context.Context, store *record.Store, rec *record.Record, n wire.Note) error {
		known, err := namesOf(rec)
		if err != nil {
			return err
		}
		var faults []wire.Fault
		for _, fault := range []*wire.Fault{known.activity(n.What), near(n.At, rec.At)} {
			if fault != nil {
				faults = append(faults, *fault)
			}
		}
		if len(faults) > 0 {
			return faulty(invalidContent, faults, nil)
		}
		return store.Fact(ctx, rec.ID, n.What, n.At)
	})
}

// note reads a note of an answer and adds it to the record.
func (s *service) note(c echo.Context, schema func() (*strictjson.Schema, error),
	add func(context.Context, *record.Store, *record.Record, wire.Note) error,
) error {
	store, err := s.store()
	if err != nil {
		return err
	}
	if err := onlyJSON(c.Request()); err != nil {
		return err
	}
	body, err := readBody(c)
	if err != nil {
		return err
	}
	shape, err := schema()
	if err != nil {
		return err
	}
	rec, err := store.Get(c.Param("id"))
	if err != nil {
		return recordProblem(err)
	}
	n, err := wire.DecodeNote(shape, body)
	if err != nil {
		return err
	}
	if err := add(c.Request().Context(), store, &rec, n); err != nil {
		return recordProblem(err)
	}
	return c.NoContent(http.StatusNoContent)
}

// recordProblem translates what the record says.
func recordProblem(err error) error {
	switch {
	case asProblem(err).kind != internal:
		return err
	case errors.Is(err, record.ErrID):
		return &problem{kind: badRequest, detail: err.Error(), cause: err}
	case errors.Is(err, record.ErrNotFound):
		return &problem{kind: noThing, detail: "no answer of this id is in the record; the oldest may have been dropped to keep it within its size", cause: err}
	case errors.As(err, new(*record.Damage)):
		return &problem{kind: internal, detail: "this answer's line in the record is damaged: surgeonward review names its place", cause: err}
	}
	return &problem{kind: internal, detail: "the record could not be read or written (" + whyNotRecorded(err) + "): nothing was noted", cause: err}
}
