package api

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"

	"surgeonward/api/record"
	"surgeonward/api/region"
	"surgeonward/api/wire"
)

// recordHeader carries the id under which an answer was recorded: its body
// cannot hold its own. notRecorded stands there in place of an id.
const (
	recordHeader = "Surgeonward-Record"
	notRecorded  = "none"
)

// What was asked, as the record has it.
const (
	askedOptions = "options"
	askedReach   = "reach"
)

// question is what an answer is recorded with beside itself: the body that
// asks it, and the clock that stands in for what the body leaves out.
type question struct {
	body   []byte
	madeAt time.Time
}

// The bounds on recording. A disk that hangs must not keep answers back: so
// many answers may be on their way to it, and each is waited for so long.
const (
	maxRecording = 64
	recordTime   = 2 * time.Second
)

// recorder keeps answers before they are sent. A nil recorder keeps nothing.
type recorder struct {
	store  *record.Store
	logger zerolog.Logger
	build  string
	slots  chan struct{} // one for each answer on its way to the disk
	late   atomic.Int32  // answers on their way that nobody waits for any more
	data   atomic.Pointer[regionData]

	metrics *metrics
}

// regionData is what answers from a region are recorded with.
type regionData struct {
	region *region.Region
	data   []record.Data
}

// newRecorder returns nil where there is no store.
func newRecorder(store *record.Store, build string, logger zerolog.Logger) (*recorder, error) {
	if store == nil {
		return nil, nil
	}
	if strings.ContainsFunc(build, func(r rune) bool { return r <= ' ' || r > '~' }) {
		return nil, fmt.Errorf("the build's name %q cannot be recorded: it has a space or a character that is not plain ASCII", build)
	}
	return &recorder{store: store, logger: logger, build: build, slots: make(chan struct{}, maxRecording)}, nil
}

// keep records an answer and says in the response's header under which id.
// Whatever goes wrong, the answer can be sent. HEAD is not recorded: nobody gets
// an answer.
func (k *recorder) keep(c echo.Context, r *region.Region, asked question, a record.AnswerRecord) {
	if k == nil || c.Request().Method == http.MethodHead {
		return
	}
	id, err := k.answer(c.Request().Context(), r, asked, a)
	if err == nil {
		k.metrics.recorded("")
	} else {
		id = notRecorded
		k.metrics.recorded(whyNotRecorded(err))
		// the text may hold what the caller sent
		k.logger.Warn().Str("id", idOf(c)).Str("why", whyNotRecorded(err)).Str("cause", typeNames(err)).Msg("not recorded")
	}
	c.Response().Header().Set(recordHeader, id)
}

func (k *recorder) answer(ctx context.Context, r *region.Region, asked question, a record.AnswerRecord) (string, error) {
	data, err := k.dataOf(r)
	if err != nil {
		return "", err
	}
	a.MadeAt, a.Request, a.Data = asked.madeAt, anonymous(asked.body), data
	a.Versions = wire.VersionsOf(r, k.build)
	if k.late.Load() > 0 {
		return "", errDiskHangs // waiting again would only keep this answer back too
	}
	ctx, cancel := context.WithTimeout(ctx, recordTime)
	defer cancel()
	select {
	case k.slots <- struct{}{}:
	case <-ctx.Done():
		return "", ctx.Err()
	}
	type result struct {
		id  string
		err error
	}
	done := make(chan result, 1)
	go func() { // a disk that hangs obeys no context
		id, err := k.store.Answer(ctx, a)
		<-k.slots
		done <- result{id, err}
	}()
	select {
	case kept := <-done:
		return kept.id, kept.err
	case <-ctx.Done():
	}
	if errors.Is(ctx.Err(), context.DeadlineExceeded) {
		k.late.Add(1)
		go func() { <-done; k.late.Add(-1) }()
	}
	return "", ctx.Err()
}

var errDiskHangs = errors.New("an earlier answer is still on its way to the disk")

// parametersFile is the name under which every number of the model is
// recorded, the program's own among them.
const parametersFile = "parameters.json"

// dataOf is made once for each region.
func (k *recorder) dataOf(r *region.Region) ([]record.Data, error) {
	if held := k.data.Load(); held != nil && held.region == r {
		return held.data, nil
	}
	parameters, err := wire.JSON(wire.EncodeParameters(r))
	if err != nil {
		return nil, err
	}
	data := append(r.Data(), record.NewData(parametersFile, parameters))
	k.data.Store(&regionData{r, data})
	return data, nil
}

// whyNotRecorded sorts troubles into kinds that an operator can act on.
func whyNotRecorded(err error) string {
	switch {
	case errors.As(err, new(*record.FreeTextError)):
		return "the question could hold words about somebody"
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		return "the disk is full"
	case errors.Is(err, syscall.EROFS), errors.Is(err, fs.ErrPermission):
		return "the folder may not be written"
	case errors.Is(err, record.ErrClosed):
		return "the record is closed"
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, errDiskHangs):
		return "the disk is too slow"
	case errors.Is(err, context.Canceled):
		return "the caller left"
	}
	return "another trouble"
}
