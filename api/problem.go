package api

import (
	"net/http"

	"surgeonward/api/wire"
)

// Problem is an RFC 9457 problem document.
type Problem struct {
	Type      string       `json:"type"`                  // where the kind of problem is explained
	Title     string       `json:"title"`                 // the kind in words, the same every time
	Status    int          `json:"status"`                // the HTTP status
	Detail    string       `json:"detail"`                // what happened this time, and the fix
	Instance  string       `json:"instance"`              // this occurrence
	RequestID string       `json:"request_id"`            // as in the X-Request-ID header and the log
	Role      string       `json:"needed_role,omitempty"` // the role that what was asked for needs
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
	badJSON              = kind{"bad-json", http.StatusBadRequest, "not valid JSON", "The body cannot be read as JSON: correct the text at the place given."}
	badQuery             = kind{"bad-query", http.StatusBadRequest, "invalid query", "A query parameter is unknown, repeated or not valid: each error names its parameter."}
	badRequest           = kind{"bad-request", http.StatusBadRequest, "request not understood", "The request as a whole cannot be understood."}
	badCredentials       = kind{"bad-credentials", http.StatusBadRequest, "credentials not understood", "The token did not come as it must: in one header Authorization: Bearer, and never in a URL."}
	notKnown             = kind{"not-authenticated", http.StatusUnauthorized, "who asks is not known", "Send the header Authorization: Bearer with a token that is valid here."}
	notAllowed           = kind{"not-allowed", http.StatusForbidden, "not allowed", "Who asks is known, but may not do this: needed_role says which role may."}
	noRoute              = kind{"no-such-route", http.StatusNotFound, "no such route", "Nothing is served at this path: GET / lists what is."}
	noThing              = kind{"no-such-thing", http.StatusNotFound, "no such thing", "The path is right, but there is nothing by that id."}
	wrongMethod          = kind{"method-not-allowed", http.StatusMethodNotAllowed, "method not allowed", "The path is right, but not with this method: the Allow header lists those that are."}
	notAcceptable        = kind{"not-acceptable", http.StatusNotAcceptable, "no acceptable form", "The Accept header rules out every form this answer has."}
	tooSlow              = kind{"request-timeout", http.StatusRequestTimeout, "request came too slowly", "The body did not arrive in time: send it again."}
	readOnly             = kind{"read-only", http.StatusConflict, "cannot be edited", "The region's data can be read here, but not edited."}
	conflict             = kind{"conflict", http.StatusConflict, "does not fit the region", "The edit is right by itself, but the region could not be used with it: each error says where."}
	editedByHand         = kind{"edited-by-hand", http.StatusConflict, "changed by hand", "Somebody has changed the file in the region's folder, and it cannot be used as it stands: mend it there or put it back. Each error says where."}
	preconditionFailed   = kind{"precondition-failed", http.StatusPreconditionFailed, "changed meanwhile", "What the request was meant for is not what is there now: read it again, and decide anew."}
	tooLarge             = kind{"too-large", http.StatusRequestEntityTooLarge, "body too large", "The body is longer than what is read here can be."}
	wrongMedia           = kind{"unsupported-media-type", http.StatusUnsupportedMediaType, "unsupported media type", "The body is of a type that is not read here: send the Content-Type that the detail names, without Content-Encoding."}
	wrongHost            = kind{"wrong-host", http.StatusMisdirectedRequest, "wrong host name", "Without access control the service answers only to names of its own machine: use localhost or 127.0.0.1."}
	invalidContent       = kind{"invalid-content", http.StatusUnprocessableEntity, "invalid content", "The body is JSON, but cannot be used as it is: each error points at its value."}
	preconditionRequired = kind{"precondition-required", http.StatusPreconditionRequired, "precondition required", "A change must say what it was made from: send If-Match with the ETag of what you have read, or If-None-Match: * to create."}
	tooMany              = kind{"too-many-requests", http.StatusTooManyRequests, "too many requests", "Wait as long as the Retry-After header says."}
	internal             = kind{"internal", http.StatusInternalServerError, "internal error", "The fault is on this side. The log has the request's id."}
	keysAway             = kind{"identity-provider-away", http.StatusServiceUnavailable, "identity provider away", "Its keys cannot be had, so its tokens cannot be checked: try again shortly, or use a token of the service's own."}
	noRegion             = kind{"no-region", http.StatusServiceUnavailable, "no region loaded", "The service has started but has no region yet: try again shortly."}
	storeUnavailable     = kind{"store-unavailable", http.StatusServiceUnavailable, "cannot be changed now", "Try again shortly; where the detail says that the change may have been made, read first whether it was. Answers go on from the data that was read last."}
	tooManyJobs          = kind{"too-many-jobs", http.StatusServiceUnavailable, "too many jobs", "As many jobs wait as may: ask again when some are done, or end one of yours with DELETE."}
	tooManyListeners     = kind{"too-many-listeners", http.StatusServiceUnavailable, "too many listeners", "As many listen to events as can be served: try again later, or ask from time to time with If-None-Match."}
	deadlineExceeded     = kind{"deadline", http.StatusServiceUnavailable, "no answer in time", "The answer was not ready within the time limit: try again, with fewer assets if it persists."}
	otherProblem         = kind{"other", 0, "other problem", "A problem of another kind: its status says more."}
)

var kinds = []kind{badJSON, badQuery, badRequest, badCredentials, notKnown, notAllowed, noRoute, noThing, wrongMethod, notAcceptable, tooSlow,
	readOnly, conflict, editedByHand, preconditionFailed, tooLarge, wrongMedia, wrongHost, invalidContent, preconditionRequired, tooMany, internal, keysAway, noRegion,
	storeUnavailable, tooManyJobs, tooManyListeners, deadlineExceeded, otherProblem}

// problem is an error that knows its problem document.
type problem struct {
	kind   kind
	status int // 0: the kind's own
	detail string
	errors []wire.Fault
	cause  error // for the log's type name only, never shown

	neededRole string // empty: none
	retryS     int    // seconds until it is worth another try; 0: the status says
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
		Instance: p.kind.uri() + "#" + requestID, RequestID: requestID, Role: p.neededRole, Errors: p.errors[:min(len(p.errors), maxErrors)],
	}
}
