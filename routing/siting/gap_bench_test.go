package siting_test

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/routing/siting"
)

// gapLimit is how long each solver has for an instance.
const gapLimit = time.Minute

// gapInstance is a problem with its way of being solved here and elsewhere.
type gapInstance struct {
	name   string
	make   func(b *testing.B) *siting.Problem
	cover  bool // the most weight within radius; else the least mean time
	others bool // is given to the other solvers too
}

const gapRadius = 250

// gapInstances are published ones, and seeded ones as large as a country's.
var gapInstances = []gapInstance{
	{"pmed1", func(b *testing.B) *siting.Problem { return pmed(b, "pmed1") }, false, true},
	{"pmed5", func(b *testing.B) *siting.Problem { return pmed(b, "pmed5") }, false, true},
	{"pmed11", func(b *testing.B) *siting.Problem { return pmed(b, "pmed11") }, false, true},
	{"pmed20", func(b *testing.B) *siting.Problem { return pmed(b, "pmed20") }, false, true},
	{"median, 10 of 100, 1000 demands", func(*testing.B) *siting.Problem { return largeProblem(1_000, 100, 10) }, false, true},
	{"cover, 20 of 500, 10000 demands", func(*testing.B) *siting.Problem { return largeProblem(10_000, 500, 20) }, true, true},
	// As a program of one variable for each demand and site this has 5,000,000 of them and as many rows.
	{"median, 20 of 500, 10000 demands", func(*testing.B) *siting.Problem { return largeProblem(10_000, 500, 20) }, false, false},
}

func largeProblem(demands, sites, count int) *siting.Problem {
	p := scattered(demands, sites, 2031)
	p.Count = count
	return p
}

// BenchmarkGap measures how soon the gap is down to 1 %, 0.1 % and nothing, beside what other exact
// solvers come to in the same time: the independent baseline. With -benchtime=1x each is
// solved once. A value that differs from a proven one fails.
func BenchmarkGap(b *testing.B) {
	for _, at := range gapInstances {
		b.Run(at.name, func(b *testing.B) {
			p := at.make(b)
			var ours siting.Solution
			b.Run("search", func(b *testing.B) { ours = at.search(b, p) })
			if !at.others {
				return
			}
			for _, by := range solvers {
				b.Run(by.name, func(b *testing.B) { at.other(b, p, by, ours) })
			}
		})
	}
}

// search solves the instance here.
func (at *gapInstance) search(b *testing.B, p *siting.Problem) (out siting.Solution) {
	b.ReportAllocs()
	marks := []struct {
		name string
		gap  float64
	}{{"s-to-1%", 0.01}, {"s-to-0.1%", 0.001}}
	for b.Loop() {
		ctx, cancel := context.WithTimeout(b.Context(), gapLimit)
		started, reached := time.Now(), map[string]float64{}
		effort := siting.Effort{Progress: func(value, bound float64) {
			for _, m := range marks {
				if _, done := reached[m.name]; !done && math.Abs(value-bound) <= m.gap*math.Abs(value) {
					reached[m.name] = time.Since(started).Seconds()
				}
			}
		}}
		var err error
		if at.cover {
			out, err = siting.MaxCover(ctx, p, gapRadius, effort)
		} else {
			out, err = siting.MeanTime(ctx, p, 1e6, effort)
		}
		cancel()
		require.NoError(b, err)
		for name, seconds := range reached {
			b.ReportMetric(seconds, name)
		}
	}
	b.ReportMetric(100*out.Gap(), "%gap")
	b.ReportMetric(out.Value, "answer")
	b.ReportMetric(float64(out.Nodes), "parts")
	return out
}

// other gives the instance to another solver.
func (at *gapInstance) other(b *testing.B, p *siting.Problem, by solver, ours siting.Solution) {
	by.path(b)
	g, sense := asMedian, "Minimize"
	if at.cover {
		g, sense = func(p *siting.Problem) *program { return asCover(p, gapRadius) }, "Maximize"
	}
	made := g(p)
	var value float64
	var proven bool
	for b.Loop() {
		value, proven = by.solve(b, made, sense, gapLimit)
	}
	b.ReportMetric(value, "answer")
	if !proven {
		b.ReportMetric(1, "stopped")
		return
	}
	if ours.Proven() && math.Abs(ours.Value-value) > 1e-6*math.Abs(value) {
		b.Fatal(errors.New("two proven answers differ"), ours.Value, value)
	}
}
