package server

import (
	"context"
	"net/http"
	"strconv"
	"sync"

	"github.com/99designs/gqlgen/graphql"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// maxNames bounds the operation names kept apart: a caller chooses them.
const maxNames = 200

// metrics of one server, in a registry of its own.
type metrics struct {
	registry  *prometheus.Registry
	requests  *prometheus.CounterVec
	operation *prometheus.HistogramVec
	errors    *prometheus.CounterVec
	cost      prometheus.Counter
	cache     *prometheus.CounterVec
	streams   *prometheus.GaugeVec

	mu    sync.Mutex // guards names
	names map[string]bool
}

func newMetrics() *metrics {
	m := &metrics{registry: prometheus.NewRegistry(), names: map[string]bool{},
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "layshaft_requests_total",
			Help: "HTTP requests by method and status."}, []string{"method", "status"}),
		operation: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "layshaft_operation_seconds",
			Help: "Operations by name and kind.", Buckets: []float64{.0005, .002, .01, .05, .2, 1, 5, 30}}, []string{"operation", "kind"}),
		errors: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "layshaft_errors_total",
			Help: "Errors of operations by code."}, []string{"code"}),
		cost: prometheus.NewCounter(prometheus.CounterOpts{Name: "layshaft_cost_total",
			Help: "Cost of all operations that were let in."}),
		cache: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "layshaft_answers_total",
			Help: "Query answers by where they came from."}, []string{"from"}),
		streams: prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: "layshaft_streams",
			Help: "Open subscriptions and connections by kind."}, []string{"kind"}),
	}
	m.registry.MustRegister(m.requests, m.operation, m.errors, m.cost, m.cache, m.streams,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

func (m *metrics) handler() http.Handler {
	return promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{})
}

func (m *metrics) request(method string, status int) {
	switch method {
	case http.MethodGet, http.MethodPost, http.MethodHead, http.MethodOptions:
	default:
		method = "other"
	}
	m.requests.WithLabelValues(method, strconv.Itoa(status)).Inc()
}

// name bounds the label: names beyond the first maxNames are "other".
func (m *metrics) name(op string) string {
	if op == "" {
		return "unnamed"
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if !m.names[op] {
		if len(m.names) >= maxNames || len(op) > 100 {
			return "other"
		}
		m.names[op] = true
	}
	return op
}

// measure is the extension that feeds the metrics.
type measure struct{ *metrics }

var _ interface {
	graphql.HandlerExtension
	graphql.ResponseInterceptor
} = measure{}

// ExtensionName implements graphql.HandlerExtension.
func (measure) ExtensionName() string { return "Metrics" }

// Validate implements graphql.HandlerExtension.
func (measure) Validate(graphql.ExecutableSchema) error { return nil }

// InterceptResponse implements graphql.ResponseInterceptor.
func (m measure) InterceptResponse(ctx context.Context, next graphql.ResponseHandler) *graphql.Response {
	start := graphql.Now()
	resp := next(ctx)
	oc := graphql.GetOperationContext(ctx)
	if oc.Operation != nil { // nil: refused before it was one
		m.operation.WithLabelValues(m.name(oc.Operation.Name), string(oc.Operation.Operation)).Observe(graphql.Now().Sub(start).Seconds())
		m.cost.Add(float64(OperationCost(oc)))
	}
	if resp != nil {
		for _, e := range resp.Errors {
			code, _ := e.Extensions["code"].(string)
			m.errors.WithLabelValues(code).Inc()
		}
	}
	return resp
}
