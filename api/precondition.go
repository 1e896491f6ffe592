package api

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// The headers by which a caller says what state of things a request is for.
const (
	headerIfMatch     = "If-Match"
	headerIfNoneMatch = "If-None-Match"
)

// precondition is what a write demands of what is there (RFC 9110, section 13).
type precondition struct {
	match, noneMatch []string
}

func preconditionOf(r *http.Request) precondition {
	return precondition{match: r.Header.Values(headerIfMatch), noneMatch: r.Header.Values(headerIfNoneMatch)}
}

// given reports whether the caller said anything.
func (p precondition) given() bool { return len(p.match)+len(p.noneMatch) > 0 }

// check evaluates the precondition of a write against the tags of what is there,
// none where nothing is, in the order of RFC 9110 section 13.2.2.
func (p precondition) check(tags ...string) error {
	if len(p.match) > 0 {
		if !matchesAny(p.match, tags, strictly) {
			detail := "it has been changed since you read it: read it again, and make your change to what it is now"
			if len(tags) == 0 {
				detail = "it is not there any more, or never was: leave If-Match out and send If-None-Match: * to create it"
			}
			return &problem{kind: preconditionFailed, detail: detail}
		}
		return nil // with a strong match there is nothing left for If-None-Match to find
	}
	if len(p.noneMatch) > 0 && matchesAny(p.noneMatch, tags, weakly) {
		return &problem{kind: preconditionFailed, detail: "it is there already: read it, and send If-Match with its ETag to replace it"}
	}
	return nil
}

// needed is the problem of a write that does not say what it replaces.
func needed(noun string) error {
	return &problem{kind: preconditionRequired, detail: "say which state of the " + noun + " you have read, so that nobody's change is undone unseen: send If-Match with its ETag, or If-None-Match: * to create it"}
}

// matchesAny compares the entity tags of a header with those of what is there;
// "*" matches whatever is there.
func matchesAny(headers, tags []string, same func(given, tag string) bool) bool {
	if len(tags) == 0 {
		return false
	}
	for given := range strings.SplitSeq(strings.Join(headers, ","), ",") {
		given = strings.TrimSpace(given)
		if given == "*" {
			return true
		}
		for _, tag := range tags {
			if same(given, tag) {
				return true
			}
		}
	}
	return false
}

// strictly is the strong comparison of RFC 9110 section 8.8.3.2: a weak tag
// equals nothing.
func strictly(given, tag string) bool { return given == tag && !strings.HasPrefix(tag, "W/") }

// weakly is its weak comparison.
func weakly(given, tag string) bool {
	return strings.TrimPrefix(given, "W/") == strings.TrimPrefix(tag, "W/")
}

// setTag announces the state of what is answered with.
func setTag(c echo.Context, tag string) {
	h := c.Response().Header()
	h.Set("ETag", tag)
	h.Set(echo.HeaderCacheControl, "no-cache") // keep it, but ask each time
}
