package api

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"sync/atomic"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"

	"surgeonward/api/access"
	"surgeonward/api/basemap"
	"surgeonward/api/job"
	"surgeonward/api/record"
	"surgeonward/api/region"
	"surgeonward/api/web"
	"surgeonward/api/wire"
)

// Config is what the handler needs of the world around it.
type Config struct {
	Source Source           // the region; required. A *region.Live can also be edited
	Logger zerolog.Logger   // the zero value logs nothing
	Now    func() time.Time // the decision time of a question that names none; nil: time.Now
	Build  string           // the program's build in every answer; empty: Build()
	Time   time.Duration    // longest time for an answer; 0: MaxTime
	Record *record.Store    // keeps every answer before it is sent; nil: nothing is recorded
	Jobs   job.Service      // runs what takes long, as NewJobs makes it; nil: no jobs are run
	Demand DemandFile       // the region's own people; nil: it has no such file
	Page   *web.Page        // what browsers are shown; nil: the page that is part of the program
	Map    *basemap.Map     // drawn under the region's own lines; nil: nothing

	Guard     Guard // who may do what; nil: there is no access control, and everybody is access.Local
	LocalHost bool  // without a guard, answer only to this machine's own names
	Rate      Rate  // how much one caller may ask; the zero value: no limit
	NoMetrics bool  // GET /metrics is not served
}

// service answers requests from what it was configured with.
type service struct {
	source  Source
	decoder *wire.Decoder
	page    *web.Page
	baseMap *basemap.Map // nil: there is none
	policy  string       // the page's content policy
	now     func() time.Time
	build   string
	routes  []route
	logger  zerolog.Logger

	recorder *recorder   // nil: nothing is recorded
	jobs     job.Service // nil: no jobs are run
	people   DemandFile  // nil: there is none

	live      *region.Live  // the source, where it can be edited; nil: it cannot
	imports   chan struct{} // holds as many as run
	listening atomic.Int64  // those who listen to events

	guard     Guard
	localHost bool
	roles     map[string]access.Role // by method and path of a route
	meters    *meters                // nil: no limit
	metrics   *metrics
	noMetrics bool
}

// route is one thing that is served.
type route struct {
	method, path string
	role         access.Role // the least that may; open: everybody
	handle       echo.HandlerFunc
	summary      string
}

// New returns the handler of the whole interface. It fails without a source, or
// if the program's own OpenAPI document is broken.
func New(cfg Config) (http.Handler, error) {
	if cfg.Source == nil {
		return nil, errors.New("the handler has no source of a region: set Config.Source")
	}
	decoder, err := NewDecoder()
	if err != nil {
		return nil, err
	}
	page := cfg.Page
	if page == nil {
		if page, err = web.Embedded(); err != nil {
			return nil, err
		}
	}
	s := &service{source: cfg.Source, decoder: decoder, page: page, baseMap: cfg.Map, policy: pagePolicy(cfg.Map), now: cfg.Now, build: cmp.Or(cfg.Build, Build()), logger: cfg.Logger,
		guard: cfg.Guard, localHost: cfg.LocalHost, roles: map[string]access.Role{},
		metrics: newMetrics(cfg), noMetrics: cfg.NoMetrics, jobs: cfg.Jobs, people: cfg.Demand, imports: make(chan struct{}, maxImports)}
	s.live, _ = cfg.Source.(*region.Live)
	if cfg.Rate.PerSecond > 0 {
		s.meters = newMeters(cfg.Rate, time.Now)
	}
	if s.now == nil {
		s.now = time.Now
	}
	if s.recorder, err = newRecorder(cfg.Record, s.build, cfg.Logger); err != nil {
		return nil, err
	}
	if s.recorder != nil {
		s.recorder.metrics = s.metrics
	}
	if err := s.addRoutes(); err != nil {
		return nil, err
	}
	e := echo.New()
	e.IPExtractor = echo.ExtractIPDirect() // headers that name another address are the caller's own
	e.HTTPErrorHandler = s.fail
	templates := s.templates()
	e.Use(requestID, s.observe(templates), logLine(cfg.Logger, templates), recoverPanic(cfg.Logger), secure(s.policy),
		s.admit, limit(cmp.Or(cfg.Time, MaxTime)))
	for _, r := range s.routes {
		s.roles[r.method+" "+r.path] = r.role
		e.Add(r.method, r.path, r.handle)
		if r.method == http.MethodGet {
			s.roles[http.MethodHead+" "+r.path] = r.role
			e.Add(http.MethodHead, r.path, r.handle) // net/http leaves the body out
		}
	}
	return e, nil
}

func (s *service) addRoutes() error {
	documents, err := s.documents()
	if err != nil {
		return err
	}
	s.routes = append([]route{
		{http.MethodGet, "/", open, s.start, "the page; as JSON, what is served here"},
		{http.MethodGet, assetsPath + ":name", open, s.pageAsset, "a file of the page"},
		{http.MethodGet, "/worker.js", open, s.worker, "the page's service worker"},
		{http.MethodPost, "/v1/options", access.Reader, s.ask, "every way from the scene to a surgeon, ranked"},
		{http.MethodGet, "/v1/options", access.Reader, s.quick, "the same with defaults: ?scene=latitude,longitude"},
		{http.MethodPost, "/v1/reach", access.Reader, s.reach, "which teams can open the chest in time"},
		{http.MethodPost, "/v1/pre-alert", access.Reader, s.preAlert, "the message to the receiving hospital, and the calls with their times"},
		{http.MethodGet, "/v1/records", access.Desk, s.review, "what was offered, chosen and happened, case by case"},
		{http.MethodGet, "/v1/records/:id", access.Desk, s.kept, "one answer with its question, its choices and what happened"},
		{http.MethodPost, "/v1/records/:id/choice", access.Desk, s.choose, "note which option was taken"},
		{http.MethodPost, "/v1/records/:id/facts", access.Desk, s.happened, "note when an activity has ended"},
		{http.MethodGet, "/v1/exports/:name", access.Reader, s.exported, "the lists for other programs: KML, CSV, WKT, EWKB, plain GeoJSON"},
		{http.MethodGet, "/v1/parameters", access.Reader, s.parameters, "every number of the model with its source"},
		{http.MethodGet, problemsPath + ":name", open, s.explain, "what a kind of problem means"},
		{http.MethodGet, "/metrics", access.Reader, s.measured, "how the service does, for Prometheus"},
		{http.MethodGet, "/healthz", open, s.healthy, "whether the process answers"},
		{http.MethodGet, "/readyz", open, s.ready, "whether questions can be answered"},
	}, slices.Concat(s.baseMapRoutes(), s.jobRoutes(), s.elementRoutes(), s.actionRoutes(), s.regionRoutes(), documents)...)
	return nil
}

// templates are the paths of the routes, as a log line may name them.
func (s *service) templates() map[string]bool {
	paths := map[string]bool{}
	for _, r := range s.routes {
		paths[r.path] = true
	}
	return paths
}

// fail writes an error as a problem document.
func (s *service) fail(err error, c echo.Context) {
	if c.Response().Committed {
		return // the status is out: nothing can be said any more
	}
	p := asProblem(err)
	c.Set(kindKey, p.kind.Name)
	document := p.document(idOf(c))
	if document.Status >= http.StatusInternalServerError && p.cause != nil {
		s.logger.Error().Str("id", idOf(c)).Str("cause", typeNames(p.cause)).Msg("failed")
	}
	if document.Status == http.StatusServiceUnavailable {
		p.retryS = cmp.Or(p.retryS, 5)
	}
	if p.retryS > 0 {
		c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(p.retryS))
	}
	body, err := wire.JSON(document)
	if err != nil { // a struct of texts: cannot happen
		c.Response().WriteHeader(http.StatusInternalServerError)
		return
	}
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	_ = c.Blob(document.Status, typeProblem, body) // the caller may be gone
}
