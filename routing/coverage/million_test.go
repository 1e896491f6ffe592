//go:build linux

package coverage_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// millionSideM is the side of the square that the benchmark's region lies in, in metres.
const millionSideM = 200_000.0

// busyRegion is 20 assets (12 ambulances, 6 helicopters, 2 response cars) and 40
// hospitals that all have surgeons, half of them called in and 25 with a pad, with 12
// landing sites, seeded; every duration is the shipped one, with its spread.
func busyRegion(t testing.TB) *routing.Engine {
	t.Helper()
	random := rand.New(rand.NewPCG(20, 40))
	at := func() orb.Point {
		return geo.Destination(middle, random.Float64()*360, millionSideM/2*math.Sqrt(random.Float64()))
	}
	f := &toy{}
	for i := range 40 {
		members := fmt.Sprintf(`,"capabilities":["cardiothoracic_surgery"%s],"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":%q}}}`,
			[]string{"", `,"blood_bank"`, `,"blood_bank","visiting_surgical_team"`, ""}[i%4], []string{"resident", "on_call"}[i%2])
		if i%8 < 5 {
			members += fmt.Sprintf(`,"pad":{"lit":true,"vehicle_needed":%t}`, i%3 == 0)
		}
		f.facility(fmt.Sprintf("h%02d", i), "hospital", at(), members)
	}
	for i := range 12 {
		f.facility(fmt.Sprintf("s%02d", i), "landing_site", at(), `,"lit":true,"road_access":true`)
	}
	for i := range 20 {
		kind := []string{"ambulance", "helicopter", "ambulance", "ambulance", "helicopter", "ambulance", "response_car", "helicopter", "ambulance", "ambulance"}[i%10]
		f.asset(fmt.Sprintf("a%02d", i), kind, at())
	}
	settings, faults, _ := routing.DecodeSettings([]byte(`{"region":{"name":"Busy","time_zone":"UTC"}}`))
	require.Empty(t, faults)
	list, bad, _ := facilities.Decode([]byte(`{"type":"FeatureCollection","features":[`+strings.Join(f.features, ",")+`]}`),
		facilities.DecodeOptions{Zone: time.UTC})
	require.Empty(t, bad)
	fleet, faults, _ := routing.DecodeFleet(json.RawMessage(`{"assets":[`+strings.Join(f.assets, ",")+`]}`), list, settings)
	require.Empty(t, faults)
	return routing.NewEngine(list, fleet, settings)
}

// cpu is the processor time of the process so far: what else runs on the machine is
// not in it.
func cpu(t testing.TB) time.Duration {
	t.Helper()
	var u syscall.Rusage
	require.NoError(t, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// peakMB is the most memory that the process ever had, by the kernel's count.
func peakMB(t testing.TB) float64 {
	t.Helper()
	status, err := os.ReadFile("/proc/self/status")
	require.NoError(t, err)
	for line := range strings.Lines(string(status)) {
		if rest, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			kB, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 64)
			require.NoError(t, err)
			return kB / 1024
		}
	}
	return 0
}

// BenchmarkMillionCells is one situation over a grid of 20 assets and 40 hospitals,
// beside a bare scan of the same 800 pairs for the least way from base to cell to
// hospital as dot products give it. SURGEONWARD_BENCH_CELLS is the number of cells,
// about; 1000000 takes minutes. Times are of the processor, not of the clock.
func BenchmarkMillionCells(b *testing.B) {
	n := 4000
	if text := os.Getenv("SURGEONWARD_BENCH_CELLS"); text != "" {
		var err error
		n, err = strconv.Atoi(text)
		require.NoError(b, err)
	}
	e := busyRegion(b)
	cellM := max(coverage.MinCellM, millionSideM/math.Sqrt(float64(n)))
	d := coverage.OnGrid(grid(b, square(middle, millionSideM/2), cellM), nil)
	cells := float64(len(d.Cells))
	scan := scanSeconds(b, e, d)
	for _, of := range []struct {
		name string
		plan coverage.Plan
	}{
		{"typical and slow", coverage.Plan{}},
		{"typical alone", coverage.Plan{}.TypicalOnly()},
	} {
		b.Run(of.name, func(b *testing.B) {
			of.plan.Engine, of.plan.Demand, of.plan.Situation = e, d, situation()
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			from, sumS, slowS := cpu(b), 0.0, 0.0
			for b.Loop() {
				r, err := coverage.Run(b.Context(), of.plan)
				require.NoError(b, err)
				sumS, slowS = 0, 0
				for i := range r.Outcomes {
					sumS += r.Outcomes[i].Seconds()
					slowS += r.Outcomes[i].SlowSeconds()
				}
			}
			took := (cpu(b) - from).Seconds() / float64(b.N) / cells
			runtime.ReadMemStats(&after)
			b.ReportMetric(took*1e6, "cpu-µs/cell")
			b.ReportMetric(took/scan, "times-the-scan")
			b.ReportMetric(float64(after.Mallocs-before.Mallocs)/float64(b.N)/cells, "allocs/cell")
			b.ReportMetric(sumS/cells, "mean-s")
			b.ReportMetric(slowS/cells, "mean-slow-s")
			b.ReportMetric(peakMB(b), "peak-MB")
		})
	}
}

// scanSeconds is the processor seconds of one cell of the bare scan.
func scanSeconds(b *testing.B, e *routing.Engine, d *coverage.Demand) float64 {
	var bases, hospitals []geo.Vector
	for _, a := range e.Fleet.Assets() {
		base, _ := e.Facilities.Get(a.Base)
		bases = append(bases, geo.Unit(base.Position))
	}
	for _, f := range e.Facilities.All() {
		if f.Kind == facilities.Hospital {
			hospitals = append(hospitals, geo.Unit(f.Position))
		}
	}
	require.Len(b, bases, 20)
	require.Len(b, hospitals, 40)
	rounds, sum := 1+200_000/len(d.Cells), 0.0
	from := cpu(b)
	for range rounds {
		for i := range d.Cells {
			at, nearest := geo.Unit(d.Cells[i].At), -4.0
			for k := range bases {
				toScene := at.Dot(bases[k])
				for j := range hospitals {
					nearest = max(nearest, toScene+at.Dot(hospitals[j]))
				}
			}
			sum += nearest
		}
	}
	require.Greater(b, sum, 0.0)
	return (cpu(b) - from).Seconds() / float64(rounds*len(d.Cells))
}
