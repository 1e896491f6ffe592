package api

import (
	"net/http"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"surgeonward/routing"
)

// metrics are what is counted and timed. Every label's values are words of our
// own: a route's template, never a path; a code, never a text. None of them
// says anything of a question, a place or a person.
type metrics struct {
	registry *prometheus.Registry
	requests *prometheus.HistogramVec // seconds by route, method, status
	options  *prometheus.CounterVec   // by shape
	excluded *prometheus.CounterVec   // by code
	refused  *prometheus.CounterVec   // by reason
	edits    *prometheus.CounterVec   // by outcome
	records  *prometheus.CounterVec   // by outcome
}

// newMetrics makes them, each handler its own: two in one process do not mix.
func newMetrics(cfg Config) *metrics {
	counter := func(name, help, label string) *prometheus.CounterVec {
		return prometheus.NewCounterVec(prometheus.CounterOpts{Name: "surgeonward_" + name, Help: help}, []string{label})
	}
	m := &metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "surgeonward_request_duration_seconds", Help: "Time to answer, by the route's template; none: no route.",
			Buckets: []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10},
		}, []string{"route", "method", "status"}),
		options:  counter("options_total", "Options offered, by shape.", "shape"),
		excluded: counter("exclusions_total", "Reasons against ways that were not offered, by code.", "code"),
		refused:  counter("refused_total", "Requests that were not let in, by reason.", "reason"),
		edits:    counter("edits_total", "Requests to change something, by outcome: done, or the kind of problem.", "outcome"),
		records:  counter("records_total", "Answers recorded, by outcome: kept, or what was in the way.", "outcome"),
	}
	m.registry.MustRegister(m.requests, m.options, m.excluded, m.refused, m.edits, m.records,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	for _, g := range gauges(cfg) {
		m.registry.MustRegister(g)
	}
	return m
}

// gauges are what the source and the guard can say of themselves.
func gauges(cfg Config) []prometheus.Collector {
	gauge := func(name, help string, value func() float64) prometheus.Collector {
		return prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "surgeonward_" + name, Help: help}, value)
	}
	truth := func(holds func() bool) func() float64 {
		return func() float64 {
			if holds() {
				return 1
			}
			return 0
		}
	}
	all := []prometheus.Collector{
		gauge("ready", "1 while there is a region to answer from.", truth(func() bool { return cfg.Source.Region() != nil })),
	}
	if s, ok := cfg.Source.(interface{ Since() time.Time }); ok {
		all = append(all, gauge("region_age_seconds", "How long the region has been the one that holds; 0 while there is none.", func() float64 {
			since := s.Since()
			if since.IsZero() {
				return 0
			}
			return time.Since(since).Seconds()
		}))
	}
	if s, ok := cfg.Source.(interface{ Faults() int }); ok {
		all = append(all, gauge("region_faults", "Faults in newer data that is not used because of them.", func() float64 { return float64(s.Faults()) }))
	}
	if g, ok := cfg.Guard.(interface{ Healthy() bool }); ok {
		all = append(all, gauge("tokens_readable", "1 while the token file as it is now can be read.", truth(g.Healthy)))
	}
	return all
}

// answered counts what an answer has.
func (m *metrics) answered(ans *routing.Answer) {
	for i := range ans.Options {
		m.options.WithLabelValues(string(ans.Options[i].Shape)).Inc()
	}
	for _, n := range ans.NotPossible {
		for _, r := range n.Reasons {
			m.excluded.WithLabelValues(string(r.Code)).Inc()
		}
	}
}

// recorded counts an answer that was recorded, or why it was not.
func (m *metrics) recorded(why string) {
	if why == "" {
		why = "kept"
	}
	m.records.WithLabelValues(why).Inc()
}

// measured answers GET /metrics.
func (s *service) measured(c echo.Context) error {
	if s.noMetrics {
		return &problem{kind: noThing, detail: "metrics are not served where anybody could read them: start with access control, or with --metrics"}
	}
	h := promhttp.HandlerFor(s.metrics.registry, promhttp.HandlerOpts{MaxRequestsInFlight: 4, EnableOpenMetrics: true})
	h.ServeHTTP(c.Response(), c.Request())
	return nil
}

// observe measures each request, and writes the audit log: one line for each
// change of anything and for each request that was refused.
func (s *service) observe(templates map[string]bool) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			began := time.Now()
			err := next(c) // logLine inside has written the answer of an error
			route, method, status := routeOf(c, templates), methodOf(c), c.Response().Status
			s.metrics.requests.WithLabelValues(route, method, strconv.Itoa(status)).Observe(time.Since(began).Seconds())
			s.audit(c, route, method, status)
			return err
		}
	}
}

// changes reports whether a request is to change something: all that needs more
// than a reader and does not only read.
func (s *service) changes(c echo.Context) bool {
	method := c.Request().Method
	return method != http.MethodGet && method != http.MethodHead && s.roles[method+" "+c.Path()] > readers
}
