package api

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/labstack/echo/v4"

	"surgeonward/api/access"
	"surgeonward/api/region"
	"surgeonward/facilities/store"
	"surgeonward/facilities/strictjson"
)

const (
	headerWhy     = "Surgeonward-Why"     // the reason of an edit, in the editor's words
	headerVersion = "Surgeonward-Version" // number of the version that an edit made, or that is served
)

// author is who edits, and why.
type author struct{ who, why string }

// editor is the region that can be edited, with who edits it.
func (s *service) editor(c echo.Context) (*region.Live, author, error) {
	if s.live == nil {
		return nil, author{}, &problem{kind: readOnly, detail: "this service was started on data that cannot be edited"}
	}
	why, err := whyOf(c.Request())
	return s.live, author{who: cmp.Or(access.From(c.Request().Context()).Name, access.Local.Name), why: why}, err
}

// whyOf reads the reason of an edit. It is percent-encoded where it is more
// than plain ASCII, because that is all a header can hold.
func whyOf(r *http.Request) (string, error) {
	text := strings.TrimSpace(r.Header.Get(headerWhy))
	if decoded, err := url.PathUnescape(text); err == nil {
		text = decoded
	}
	switch {
	case !utf8.ValidString(text):
		return "", badHeader("it is not valid UTF-8: percent-encode it")
	case utf8.RuneCountInString(text) > store.MaxText:
		return "", badHeader(fmt.Sprintf("it has more than %d characters: shorten it", store.MaxText))
	case strings.ContainsFunc(text, unicode.IsControl):
		return "", badHeader("it holds a control character: remove it")
	}
	return text, nil
}

func badHeader(what string) error {
	return &problem{kind: badRequest, detail: "the header " + headerWhy + " cannot be used: " + what}
}

// put creates or replaces an element by the one in the body.
func (s *service) put(l *collection) echo.HandlerFunc {
	return func(c echo.Context) error {
		w, err := s.write(c, l, l.media)
		if err != nil {
			return err
		}
		if !w.demand.given() {
			return needed(l.noun)
		}
		return s.commit(c, w, func(old []byte, content []byte) (change, error) {
			if w.fault != nil {
				return change{}, w.fault
			}
			after, err := region.Put(l.file, content, w.id, w.body)
			return change{action: actionOf(old), content: after}, err
		})
	}
}

func actionOf(old []byte) string {
	if old == nil {
		return "create"
	}
	return "replace"
}

// typeMerge is the media type of a merge patch (RFC 7396).
const typeMerge = "application/merge-patch+json"

// patch changes some members of an element.
func (s *service) patch(l *collection) echo.HandlerFunc {
	return func(c echo.Context) error {
		w, err := s.write(c, l, []string{typeMerge})
		if err != nil {
			return err
		}
		return s.commit(c, w, func(old []byte, content []byte) (change, error) {
			switch {
			case old == nil:
				return change{}, l.missing()
			case w.fault != nil:
				return change{}, w.fault
			}
			after, err := region.Patch(l.file, content, w.id, w.body)
			return change{action: "change", content: after}, err
		})
	}
}

// remove takes an element out of its file.
func (s *service) remove(l *collection) echo.HandlerFunc {
	return func(c echo.Context) error {
		w, err := s.write(c, l, nil)
		if err != nil {
			return err
		}
		return s.commit(c, w, func(old []byte, content []byte) (change, error) {
			if old == nil {
				return change{}, l.missing()
			}
			after, err := region.Remove(l.file, content, w.id)
			return change{action: "delete", content: after}, err
		})
	}
}

// write is a request to change one element.
type write struct {
	list   *collection
	live   *region.Live
	by     author
	id     string
	demand precondition
	loose  bool // it needs no precondition, but keeps one
	body   []byte
	fault  error // what is wrong with the body: said only once the precondition holds
}

// write reads a request that changes one element. Media are the types that its
// body can have; none: it has no body.
func (s *service) write(c echo.Context, l *collection, media []string) (*write, error) {
	w := &write{list: l, demand: preconditionOf(c.Request())}
	var err error
	if w.live, w.by, err = s.editor(c); err != nil {
		return nil, err
	}
	if _, err = accepted(c, l.media...); err != nil {
		return nil, err
	}
	if w.id, err = l.idIn(c); err != nil {
		return nil, err
	}
	if len(media) == 0 {
		return w, nil
	}
	if err = onlyMedia(c.Request(), media...); err != nil {
		return nil, err
	}
	if w.body, err = io.ReadAll(c.Request().Body); err != nil {
		return nil, unread(err)
	}
	w.fault = checkElement(w.body, w.id, media[0] == typeMerge)
	return w, nil
}

// checkElement says what is wrong with the body itself; what it makes of the
// region is checked with the region.
func checkElement(body []byte, id string, merge bool) error {
	value, faults := strictjson.Parse(body, strictjson.Limits{Bytes: MaxBody})
	if len(faults) > 0 {
		return faulty(badJSON, pointers(faults), nil)
	}
	object, ok := value.(map[string]any)
	given, has := object["id"]
	switch {
	case !ok:
		return faulty(invalidContent, pointers([]strictjson.Fault{{Detail: "the body must be an object"}}), nil)
	case has && given == id, merge && !has:
		return nil
	}
	return faulty(invalidContent, pointers([]strictjson.Fault{{Pointer: "/id", Detail: "the id must be the one in the path, " + strictjson.Quote(id) + ": to give it another, create a new one and delete this"}}), nil)
}

// change is what a write does to its file.
type change struct {
	action  string
	content []byte
}

// commit carries a write out: precondition first, then what apply says. Old is
// the element as it stands, nil where there is none.
func (s *service) commit(c echo.Context, w *write, apply func(old, content []byte) (change, error)) error {
	l := w.list
	var after, before []byte
	v, err := w.live.Edit(c.Request().Context(), w.by.who, w.by.why, func(v *store.Version) (region.Draft, error) {
		content := v.Content[l.file]
		old, verbatim, err := region.Find(l.file, content, w.id)
		if err != nil {
			return region.Draft{}, err
		}
		before = old
		if old == nil && c.Request().Method != http.MethodPut {
			return region.Draft{}, l.missing()
		}
		if err = w.demand.check(tagOf(old)...); err != nil {
			return region.Draft{}, err
		}
		if !w.demand.given() && !w.loose {
			return region.Draft{}, needed(l.noun)
		}
		done, err := apply(old, content)
		if err != nil {
			return region.Draft{}, err
		}
		after = done.content
		_, now, err := region.Find(l.file, after, w.id)
		if err != nil {
			return region.Draft{}, err
		}
		return region.Draft{
			Files: map[string][]byte{l.file: after},
			What:  []store.Change{{Action: done.action, File: l.file, Element: w.id, Before: verbatim, After: now}},
		}, nil
	})
	if err != nil && !errors.Is(err, store.ErrUnchanged) {
		return w.refused(err, after)
	}
	c.Response().Header().Set(headerVersion, strconv.FormatInt(v.Number, 10))
	now, _, err := region.Find(l.file, v.Content[l.file], w.id)
	switch {
	case err != nil:
		return err
	case now == nil:
		return c.NoContent(http.StatusNoContent)
	}
	media, err := accepted(c, l.media...)
	if err != nil {
		return err
	}
	setTag(c, etag(now))
	status := http.StatusOK
	if before == nil {
		status = http.StatusCreated
		c.Response().Header().Set(echo.HeaderLocation, l.path+"/"+w.id)
	}
	return c.Blob(status, media, now)
}

// tagOf is the entity tag of an element, none where there is no element.
func tagOf(text []byte) []string {
	if text == nil {
		return nil
	}
	return []string{etag(text)}
}

// onlyMedia refuses a body of another media type than those.
func onlyMedia(r *http.Request, media ...string) error {
	given, params, err := mime.ParseMediaType(r.Header.Get(echo.HeaderContentType))
	charset := params["charset"]
	names := strings.Join(media, " or ")
	if err != nil || (charset != "" && !strings.EqualFold(charset, "utf-8")) {
		return &problem{kind: wrongMedia, detail: "send the body with Content-Type: " + names + ", in UTF-8"}
	}
	if encoding := r.Header.Get(echo.HeaderContentEncoding); encoding != "" && !strings.EqualFold(encoding, "identity") {
		return &problem{kind: wrongMedia, detail: "send the body as it is, without Content-Encoding"}
	}
	if slices.Contains(media, given) {
		return nil
	}
	return &problem{kind: wrongMedia, detail: "send the body with Content-Type: " + names}
}
