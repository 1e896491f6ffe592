package api

import (
	"net/http"
	"regexp"

	"github.com/labstack/echo/v4"

	"surgeonward/api/wire"
	"surgeonward/routing"
)

// index lists the routes, in the OpenAPI document's way of writing paths.
func (s *service) index(c echo.Context) error {
	type entry struct {
		Method  string `json:"method"`
		Path    string `json:"path"`
		Role    string `json:"role,omitempty"`
		Summary string `json:"summary"`
	}
	out := struct {
		Name    string  `json:"name"`
		Build   string  `json:"build"`
		Caution string  `json:"caution"`
		Routes  []entry `json:"routes"`
	}{Name: "surgeonward", Build: s.build, Caution: routing.Caution}
	for _, r := range s.routes {
		role := ""
		if r.role != open {
			role = r.role.String()
		}
		out.Routes = append(out.Routes, entry{r.method, braces(r.path), role, r.summary})
	}
	body, err := wire.JSON(out)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, typeJSON, body)
}

var placeholder = regexp.MustCompile(`:(\w+)`)

// braces writes a route's template as OpenAPI does: /v1/assets/{id}.
func braces(path string) string { return placeholder.ReplaceAllString(path, "{$1}") }

type status struct {
	Status string `json:"status"`
}

func (s *service) healthy(c echo.Context) error { return sendStatus(c, "ok") }

func (s *service) ready(c echo.Context) error {
	if _, err := s.region(); err != nil {
		return err
	}
	return sendStatus(c, "ready")
}

// sendStatus answers whatever the Accept header says: a probe looks at the
// status code.
func sendStatus(c echo.Context, word string) error {
	body, err := wire.JSON(status{word})
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, typeJSON, body)
}

// explain says what a kind of problem means: problem types lead here.
func (s *service) explain(c echo.Context) error {
	for _, k := range kinds {
		if k.Name == c.Param("name") {
			return sendJSON(c, struct {
				Type   string `json:"type"`
				Title  string `json:"title"`
				Status int    `json:"status,omitempty"`
				About  string `json:"about"`
			}{k.uri(), k.Title, k.Status, k.About})
		}
	}
	return &problem{kind: noThing, detail: "there is no such kind of problem"}
}
