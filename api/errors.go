package api

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/store"
	"surgeonward/routing"
)

// asProblem is the one table from errors to problem documents. What is in no
// row is an internal error, of which the caller learns nothing but the id.
func asProblem(err error) *problem {
	var (
		known    *problem
		request  *wire.RequestError
		question *routing.QuestionError
		large    *http.MaxBytesError
		network  net.Error
		routed   *echo.HTTPError
	)
	switch {
	case errors.As(err, &known):
		return known
	case errors.As(err, &request):
		return requestProblem(request)
	case errors.As(err, &question):
		return faulty(invalidContent, wire.Pointers(question.Faults), err)
	case errors.As(err, &large):
		return &problem{kind: tooLarge, detail: fmt.Sprintf("the body is longer than %d bytes, which is more than is read here", large.Limit), cause: err}
	case errors.Is(err, store.ErrUnavailable), errors.Is(err, region.ErrBusy): // also where that is why the time is over
		return storeProblem(err)
	case errors.Is(err, context.DeadlineExceeded):
		return &problem{kind: deadlineExceeded, detail: "the answer was not ready within the time limit", cause: err}
	case errors.Is(err, context.Canceled):
		return &problem{kind: deadlineExceeded, detail: "the request was given up before its answer was ready", cause: err}
	case errors.As(err, &network) && network.Timeout():
		return &problem{kind: tooSlow, detail: "the body did not arrive in time", cause: err}
	case errors.As(err, &routed):
		return routeProblem(routed)
	}
	if p := storeProblem(err); p != nil {
		return p
	}
	return unexplained(err)
}

func requestProblem(e *wire.RequestError) *problem {
	switch e.Kind {
	case wire.Syntax:
		return faulty(badJSON, e.Faults, e)
	case wire.Query:
		return faulty(badQuery, e.Faults, e)
	}
	return faulty(invalidContent, e.Faults, e)
}

// faulty is a problem with a list of faults. A single one says it all.
func faulty(k kind, faults []wire.Fault, cause error) *problem {
	p := &problem{kind: k, errors: faults, cause: cause}
	switch n := len(faults); {
	case n == 1:
		p.detail = faults[0].Detail
	case n > maxErrors:
		p.detail = fmt.Sprintf("%d things are wrong, of which errors has the first %d", n, maxErrors)
	default:
		p.detail = fmt.Sprintf("%d things are wrong: see errors", n)
	}
	return p
}

// routeProblem translates what the router says.
func routeProblem(e *echo.HTTPError) *problem {
	switch {
	case e.Code == http.StatusNotFound:
		return &problem{kind: noRoute, detail: "nothing is served at this path: GET / lists what is", cause: e}
	case e.Code == http.StatusMethodNotAllowed:
		return &problem{kind: wrongMethod, detail: "this path does not take that method: the Allow header lists those it takes", cause: e}
	case e.Code >= http.StatusBadRequest && e.Code < http.StatusInternalServerError:
		return &problem{kind: otherProblem, status: e.Code, detail: http.StatusText(e.Code), cause: e}
	}
	return unexplained(e)
}

func unexplained(cause error) *problem {
	return &problem{kind: internal, detail: "the answer could not be made; the log has this request's id", cause: cause}
}

// typeNames names an error's types from the outside in. Its text may hold what
// the caller sent, so it is never logged.
func typeNames(err error) string {
	var names []string
	for ; err != nil; err = errors.Unwrap(err) {
		names = append(names, fmt.Sprintf("%T", err))
	}
	return strings.Join(names, ": ")
}
