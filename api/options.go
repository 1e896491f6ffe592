package api

import (
	"errors"
	"io"
	"mime"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"surgeonward/api/record"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/routing"
)

// ask answers POST /v1/options.
func (s *service) ask(c echo.Context) error {
	media, err := accepted(c, typeJSON, typeGeoJSON)
	if err != nil {
		return err
	}
	r, body, err := s.asked(c)
	if err != nil {
		return err
	}
	now := s.now()
	q, err := s.decoder.Decode(body, r, now)
	if err != nil {
		return err
	}
	return s.answer(c, r, &q, media, question{body, now})
}

// asked is the region that holds now and the body of a question to it.
func (s *service) asked(c echo.Context) (*region.Region, []byte, error) {
	if err := onlyJSON(c.Request()); err != nil {
		return nil, nil, err
	}
	r, err := s.region()
	if err != nil {
		return nil, nil, err
	}
	body, err := readBody(c)
	return r, body, err
}

func readBody(c echo.Context) ([]byte, error) {
	body, err := io.ReadAll(c.Request().Body)
	if err != nil {
		return nil, unread(err)
	}
	return body, nil
}

// quick answers GET /v1/options.
func (s *service) quick(c echo.Context) error {
	media, err := accepted(c, typeJSON, typeGeoJSON)
	if err != nil {
		return err
	}
	r, err := s.region()
	if err != nil {
		return err
	}
	now, query := s.now(), c.Request().URL.RawQuery
	q, err := s.decoder.DecodeQuery(query, r, now)
	if err != nil {
		return err
	}
	body, err := wire.QueryBody(query)
	if err != nil {
		return err
	}
	err = s.answer(c, r, &q, media, question{body, now})
	var refused *routing.QuestionError
	if errors.As(err, &refused) {
		return faulty(invalidContent, wire.QueryFaults(refused.Faults), err)
	}
	return err
}

func (s *service) answer(c echo.Context, r *region.Region, q *wire.Request, media string, asked question) error {
	ans, err := r.Engine.Options(c.Request().Context(), q.Question)
	if err != nil {
		return err
	}
	s.metrics.answered(&ans)
	text, err := optionsText(&ans, q, r, s.build)
	if err != nil {
		return err
	}
	body := text
	if media == typeGeoJSON {
		form, err := wire.EncodeGeoJSON(&ans, q, r, s.build)
		if err != nil {
			return err
		}
		if body, err = wire.JSON(form); err != nil {
			return err
		}
	}
	s.recorder.keep(c, r, asked, record.AnswerRecord{Asked: askedOptions, At: ans.At, Answer: text})
	return c.Blob(http.StatusOK, media, body)
}

// optionsText is an answer as JSON, as it is sent, recorded and replayed.
func optionsText(ans *routing.Answer, q *wire.Request, r *region.Region, build string) ([]byte, error) {
	form, err := wire.Encode(ans, q, r, build)
	if err != nil {
		return nil, err
	}
	return wire.JSON(form)
}

// region is the region that holds now, or the problem that there is none.
func (s *service) region() (*region.Region, error) {
	if r := s.source.Region(); r != nil {
		return r, nil
	}
	return nil, &problem{kind: noRegion, detail: "the service has no region yet: try again shortly"}
}

// onlyJSON refuses a body of another media type: a form or a compressed body
// would only be reported as broken JSON.
func onlyJSON(r *http.Request) error {
	given := r.Header.Get(echo.HeaderContentType)
	media, params, err := mime.ParseMediaType(given)
	charset := params["charset"]
	if err != nil || media != typeJSON || (charset != "" && !strings.EqualFold(charset, "utf-8")) {
		return &problem{kind: wrongMedia, detail: "send the question with Content-Type: application/json, in UTF-8"}
	}
	if encoding := r.Header.Get(echo.HeaderContentEncoding); encoding != "" && !strings.EqualFold(encoding, "identity") {
		return &problem{kind: wrongMedia, detail: "send the question as it is, without Content-Encoding"}
	}
	return nil
}

// unread translates what can go wrong while a body is read.
func unread(err error) error {
	if asProblem(err).kind != internal {
		return err
	}
	return &problem{kind: badRequest, detail: "the body broke off before its end", cause: err}
}
