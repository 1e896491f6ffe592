package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing"
)

// flightFit is a speed over the ground and a fixed time, as far as journeys
// tell. Departure and approach cannot be told apart by them, and neither can
// the wind: over many journeys both ways it mostly cancels.
type flightFit struct {
	p  [2]float64 // logarithms of speed in m/s and fixed time in seconds
	sd float64    // of the logarithm of the time
}

// flightData is the flights of one group and kind of aircraft.
type flightData struct {
	items    []item
	kind     routing.AssetKind
	cruiseMS float64           // in force
	fixed    facilities.Timing // departure and approach in force
}

func (d *flightData) sample() *sample {
	s := &sample{}
	for i := range d.items {
		s.metres = append(s.metres, d.items[i].directM)
		s.logM = append(s.logM, math.Log(d.items[i].directM))
		s.logS = append(s.logS, d.items[i].logS)
	}
	return s
}

func (d *flightData) fit() (flightFit, []float64) {
	s := d.sample()
	f := flightFit{p: s.search(flightCurve{})}
	sd := make([]float64, s.len())
	for range 3 {
		f.sd = max(madToSD*medianAbs(s.residuals(flightCurve{}, f.p)), least)
		for i := range sd {
			sd[i] = f.sd
		}
		f.p = s.improve(flightCurve{}, f.p, sd, nil, 20)
	}
	return f, sd
}

// says keeps the slow figure in force as far above the typical one as it is:
// in the model it comes from allowances and the wind, which are not fitted here.
func (d *flightData) says(f flightFit, it *item) facilities.Timing {
	logS, _ := flightCurve{}.at(f.p, it.directM, math.Log(it.directM))
	typical := min(math.Exp(logS), facilities.MaxTiming)
	return facilities.Timing{TypicalS: typical, SlowS: min(typical+it.now.SlowS-it.now.TypicalS, facilities.MaxTiming)}
}

func (d *flightData) finish(f *Finding, r *rand.Rand, replicates int) {
	fit, sd := d.fit()
	s := d.sample()
	for i, residual := range s.residuals(flightCurve{}, fit.p) {
		if math.Abs(residual) > fence*fit.sd {
			f.OutOfLine = append(f.OutOfLine, d.items[i].Row)
		}
	}
	cruise, fixed := make([]float64, replicates), make([]float64, replicates)
	times := make([]float64, len(d.items))
	for k := range replicates {
		resample(r, times)
		p := s.improve(flightCurve{}, fit.p, sd, times, 6)
		cruise[k], fixed[k] = math.Exp(p[0])/geo.Knot, math.Exp(p[1])
	}
	low, high := flightCurve{}.bounds()
	widths := s.widths(flightCurve{}, fit.p, sd)
	speed := estimate(string(d.kind)+"_cruise_kt", "kt", d.cruiseMS/geo.Knot, math.Exp(fit.p[0])/geo.Knot, percentiles(cruise))
	speed.settle(widths[0], math.Exp(low[0])/geo.Knot, math.Exp(high[0])/geo.Knot)
	still := estimate(fmt.Sprintf("%s_departure + %s_approach", d.kind, d.kind), "s", d.fixed.TypicalS, math.Exp(fit.p[1]), percentiles(fixed))
	still.settle(widths[1], math.Exp(low[1]), math.Exp(high[1]))
	f.Estimates = append(f.Estimates, speed, still)
	f.note("speed over the ground in whatever wind, and the fixed part, fitted together: for information.")
	f.note("to set them, record departure and approach as stages of their own first")
}
