package api

import (
	"net/http"

	"surgeonward/api/wire"
)

// Problem is an RFC 9457 problem document.
type Problem struct {
	Type      string       `json:"type"`       // where the kind of problem is explained
	Title     string       `json:"title"`      // the kind in words, the same every time
	Status    int          `json:"status"`     // the HTTP status
	Detail    string       `json:"detail"`     // what happened this time, and the fix
	Instance  string       `json:"instance"`   // this occurrence
	RequestID string       `json:"request_id"` // as in the X-Request-ID header and the log
	Errors    []wire.Fault `json:"errors,omitempty"`
}

// kind is a kind of problem. Its name is stable: clients may compare the type.
type kind struct {
	Name   string
	Status int
	Title  string
	About  string // what it means, and what to do
}

func (k kind) uri() string { return problemsPath + k.Name }

const problemsPath = "/v1/problems/"

// The kinds of problem, in order of status.
var (
	badJSON          = kind{"bad-json", http.StatusBadRequest, "not valid JSON", "The body cannot be read as JSON: correct the text at the place given."}
	badQuery         = kind{"bad-query", http.StatusBadRequest, "invalid query", "A query parameter is unknown, repeated or not valid: each error names its parameter."}
	badRequest       = kind{"bad-request", http.StatusBadRequest, "request not understood", "The request as a whole cannot be understood."}
	noRoute          = kind{"no-such-route", http.StatusNotFound, "no such route", "Nothing is served at this path: GET / lists what is."}
	noThing          = kind{"no-such-thing", http.StatusNotFound, "no such thing", "The path is right, but the region has nothing by that id."}
	wrongMethod      = kind{"method-not-allowed", http.StatusMethodNotAllowed, "method not allowed", "The path is right, but not with this method: the Allow header lists those that are."}
	notAcceptable    = kind{"not-acceptable", http.StatusNotAcceptable, "no acceptable form", "The Accept header rules out every form this answer has."}
	tooSlow          = kind{"request-timeout", http.StatusRequestTimeout, "request came too slowly", "The body did not arrive in time: send it again."}
	tooLarge         = kind{"too-large", http.StatusRequestEntityTooLarge, "body too large", "The body is longer than a question can be."}
	wrongMedia       = kind{"unsupported-media-type", http.StatusUnsupportedMediaType, "unsupported media type", "The body must be JSON: send Content-Type: application/json, without Content-Encoding."}
	invalidContent   = kind{"invalid-content", http.StatusUnprocessableEntity, "invalid content", "The body is JSON, but not a question that can be answered: each error points at its value."}
	tooMany          = kind{"too-many-requests", http.StatusTooManyRequests, "too many requests", "Wait as long as the Retry-After header says."}
	internal         = kind{"internal", http.StatusInternalServerError, "internal error", "The fault is on this side. The log has the request's id."}
	noRegion         = kind{"no-region", http.StatusServiceUnavailable, "no region loaded", "The service has started but has no region yet: try again shortly."}
	deadlineExceeded = kind{"deadline", http.StatusServiceUnavailable, "no answer in time", "The answer was not ready within the time limit: try again, with fewer assets if it persists."}
	otherProblem     = kind{"other", 0, "other problem", "A problem of another kind: its status says more."}
)

var kinds = []kind{badJSON, badQuery, badRequest, noRoute, noThing, wrongMethod, notAcceptable, tooSlow, tooLarge,
	wrongMedia, invalidContent, tooMany, internal, noRegion, deadlineExceeded, otherProblem}

// problem is an error that knows its problem document.
type problem struct {
	kind   kind
	status int // 0: the kind's own
	detail string
	errors []wire.Fault
	cause  error // for the log's type name only, never shown
}

func (p *problem) Error() string { return p.kind.Title + ": " + p.detail }
func (p *problem) Unwrap() error { return p.cause }

// maxErrors is how many faults a problem document lists: more help nobody, and
// a hostile body can have thousands.
const maxErrors = 50

// document fills the problem in for one request.
func (p *problem) document(requestID string) Problem {
	status := p.status
	if status == 0 {
		status = p.kind.Status
	}
	return Problem{
		Type: p.kind.uri(), Title: p.kind.Title, Status: status, Detail: p.detail,
		Instance: p.kind.uri() + "#" + requestID, RequestID: requestID, Errors: p.errors[:min(len(p.errors), maxErrors)],
	}
}
