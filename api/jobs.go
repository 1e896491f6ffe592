package api

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"time"

	"github.com/labstack/echo/v4"

	"surgeonward/api/access"
	"surgeonward/api/job"
	"surgeonward/api/wire"
	"surgeonward/facilities/store"
)

const jobsPath = "/v1/jobs/"

func (s *service) jobRoutes() []route {
	return []route{
		{http.MethodPost, coveragePath, access.Reader, s.submit(kindCoverage), "how many people are within how many minutes of a surgeon; a job"},
		{http.MethodPost, sitingPath, access.Reader, s.submit(kindSiting), "where more assets would do most; a job"},
		{http.MethodGet, "/v1/jobs", access.Reader, s.jobList, "what was asked for as a job and is still kept"},
		{http.MethodGet, jobsPath + ":id", access.Reader, s.job, "how far a job is, and its results"},
		{http.MethodDelete, jobsPath + ":id", access.Reader, s.cancelJob, "end a job"},
		{http.MethodGet, jobEventsPath, access.Reader, s.jobEvents, "a job's progress as it is made"},
		{http.MethodGet, jobsPath + ":id/results/:name", access.Reader, s.jobResult, "a result of a job"},
	}
}

// jobForm is a job as it is sent.
type jobForm struct {
	ID       string       `json:"id"`
	Kind     string       `json:"kind"`
	Owner    string       `json:"asked_by"`
	State    job.State    `json:"state"`
	Detail   string       `json:"detail,omitempty"`
	Progress float64      `json:"progress"`
	Word     string       `json:"doing,omitempty"`
	Ahead    *int         `json:"ahead,omitempty"`
	Starts   int          `json:"starts"`
	AskedAt  time.Time    `json:"asked_at"`
	BeganAt  time.Time    `json:"began_at,omitzero"`
	EndedAt  time.Time    `json:"ended_at,omitzero"`
	Results  []resultForm `json:"results"`
}

type resultForm struct {
	Name  string `json:"name"`
	Media string `json:"media_type"`
	Bytes int    `json:"bytes"`
	Path  string `json:"path"`
}

func toJobForm(j job.Job) jobForm {
	out := jobForm{j.ID, j.Kind, j.Owner, j.State, j.Detail, j.Progress, j.Word, nil, j.Starts, j.AskedAt, j.BeganAt, j.EndedAt, []resultForm{}}
	if j.State == job.Waiting {
		out.Ahead = &j.Ahead
	}
	for _, r := range j.Results {
		out.Results = append(out.Results, resultForm{r.Name, r.Media, r.Bytes, jobsPath + j.ID + "/results/" + r.Name})
	}
	return out
}

// queue is the queue, or the problem that there is none.
func (s *service) queue() (job.Service, error) {
	if s.jobs == nil {
		return nil, &problem{kind: noThing, detail: "this service runs no jobs"}
	}
	return s.jobs, nil
}

// jobSeen is a job that whoever asks may see: their own, and from the desk's role on
// everybody's.
func (s *service) jobSeen(c echo.Context) (job.Job, error) {
	q, err := s.queue()
	if err != nil {
		return job.Job{}, err
	}
	j, err := q.Get(c.Request().Context(), c.Param("id"))
	if err == nil && !seesJob(whoOf(c), j) {
		err = job.ErrNotFound
	}
	if err != nil {
		return job.Job{}, jobProblem(err)
	}
	return j, nil
}

func seesJob(who access.Who, j job.Job) bool {
	return j.Owner == who.Name || who.Role.Allows(access.Desk)
}

// jobList answers GET /v1/jobs.
func (s *service) jobList(c echo.Context) error {
	q, err := s.queue()
	if err != nil {
		return err
	}
	if _, err := readQuery(c); err != nil {
		return err
	}
	list := struct {
		Jobs []jobForm `json:"jobs"`
	}{[]jobForm{}}
	all, err := q.List(c.Request().Context())
	if err != nil {
		return jobProblem(err)
	}
	for _, j := range all {
		if seesJob(whoOf(c), j) {
			list.Jobs = append(list.Jobs, toJobForm(j))
		}
	}
	return sendJSON(c, list)
}

// job answers GET /v1/jobs/{id}.
func (s *service) job(c echo.Context) error {
	j, err := s.jobSeen(c)
	if err != nil {
		return err
	}
	return sendJSON(c, toJobForm(j))
}

// cancelJob answers DELETE /v1/jobs/{id}.
func (s *service) cancelJob(c echo.Context) error {
	j, err := s.jobSeen(c)
	if err != nil {
		return err
	}
	if j, err = s.jobs.Cancel(c.Request().Context(), j.ID); err != nil {
		return jobProblem(err)
	}
	return sendJSON(c, toJobForm(j))
}

// jobResult answers GET /v1/jobs/{id}/results/{name}. A table also comes as pages
// of JSON.
func (s *service) jobResult(c echo.Context) error {
	j, err := s.jobSeen(c)
	if err != nil {
		return err
	}
	name := c.Param("name")
	at := slices.IndexFunc(j.Results, func(r job.Result) bool { return r.Name == name })
	if at < 0 {
		return jobProblem(job.ErrNotFound)
	}
	offers := []string{j.Results[at].Media}
	if isTable := offers[0] == typeCSV; isTable {
		offers = append(offers, typeJSON)
	}
	media, err := accepted(c, offers...)
	if err != nil {
		return err
	}
	var page tablePage
	if len(offers) > 1 && media == typeJSON {
		if page, err = readPage(c); err != nil {
			return err
		}
	} else if _, err := readQuery(c); err != nil {
		return err
	}
	f, err := s.jobs.Result(c.Request().Context(), j.ID, name)
	if err != nil {
		return jobProblem(err)
	}
	h := c.Response().Header()
	// A page to print has its own styles and no scripts; it is to be kept, not shown
	// as part of this service.
	h.Set(echo.HeaderContentSecurityPolicy, "default-src 'none'; style-src 'unsafe-inline'; sandbox")
	h.Set(echo.HeaderContentDisposition, fmt.Sprintf("attachment; filename=%q", f.Name))
	if len(offers) > 1 && media == typeJSON {
		h.Del(echo.HeaderContentDisposition)
		rows, err := page.of(f.Content)
		if err != nil {
			return err
		}
		return sendJSON(c, rows)
	}
	return c.Blob(http.StatusOK, f.Media, f.Content)
}

// jobProblem translates what the queue says.
func jobProblem(err error) error {
	switch {
	case errors.Is(err, job.ErrNotFound):
		return &problem{kind: noThing, detail: "no job or result of this id is kept for you: GET /v1/jobs lists those that are; they are kept for a time only", cause: err}
	case errors.Is(err, job.ErrTooMany):
		return &problem{kind: tooMany, detail: err.Error(), retryS: jobRetryS, cause: err}
	case errors.Is(err, job.ErrFull), errors.Is(err, job.ErrClosed):
		return &problem{kind: tooManyJobs, detail: err.Error(), retryS: jobRetryS, cause: err}
	}
	if errors.Is(err, store.ErrUnavailable) {
		return &problem{kind: storeUnavailable, detail: "the database that keeps the jobs cannot be reached now; jobs that are kept go on once it can", cause: err}
	}
	return &problem{kind: internal, detail: "the job could not be kept or read (" + whyNotRecorded(err) + ")", cause: err}
}

// jobRetryS is when it is worth to ask again for a place in the queue.
const jobRetryS = 30

// submitted answers with a job that is to be looked at.
func submitted(c echo.Context, j job.Job) error {
	body, err := wire.JSON(toJobForm(j))
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderLocation, jobsPath+j.ID)
	return c.Blob(http.StatusAccepted, typeJSON, body)
}
