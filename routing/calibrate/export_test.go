package calibrate

import (
	"math"
	"math/rand/v2"

	"surgeonward/geo"
	"surgeonward/routing/road"
)

// What the tests hold to publications and identities.
var (
	Quantile         = quantile
	QuantileRanks    = quantileRanks
	QuantileInterval = quantileInterval
	InLine           = inLine
	FewestForSlow    = fewestForSlow
	Percentiles      = percentiles
	QuantileLoss     = quantileLoss
	RoundTo          = roundTo
	DecodeAtMost     = decode
)

// SpreadOf fits a spread to residuals of the logarithm about medians in seconds.
func SpreadOf(residuals, medianS []float64) road.Spread {
	s := &scatter{residual: residuals}
	for _, m := range medianS {
		s.perMin = append(s.perMin, 60/m)
	}
	return s.improve(s.start(), nil, 12).spread()
}

// LawOf fits a law to distances and times without noise or with.
func LawOf(metres, seconds []float64) road.Law {
	var items []item
	for i := range metres {
		items = append(items, item{Journey: &Journey{DrivenM: metres[i]}, directM: metres[i], logS: logs(seconds[i], 1)[0]})
	}
	d := newRoadData(items, roadNow{factor: 1})
	fit, _ := d.fit()
	return fit.law(road.Spread{})
}

// Bootstrap draws replicates of a fit to road journeys as Calibrate does, or
// plainly: from scratch every time. It returns the interval of the cruise
// speed in km/h.
func Bootstrap(journeys []Journey, replicates int, plainly bool) Interval {
	var items []item
	for i := range journeys {
		j := &journeys[i]
		items = append(items, item{Journey: j, directM: geo.Distance(j.From, j.To), logS: math.Log(j.DurationS)})
	}
	d := newRoadData(items, roadNow{factor: 1})
	fit, sd := d.fit()
	r := rand.New(rand.NewPCG(1, 1))
	var values []float64
	if !plainly {
		for _, f := range d.bootstrap(fit, sd, r, replicates) {
			values = append(values, math.Exp(f.p[0])/road.KilometrePerHour)
		}
		return percentiles(values)
	}
	for range replicates {
		drawn := make([]item, len(items))
		for i := range drawn {
			drawn[i] = items[r.IntN(len(items))]
		}
		f, _ := d.some(drawn).fit()
		values = append(values, math.Exp(f.p[0])/road.KilometrePerHour)
	}
	return percentiles(values)
}
