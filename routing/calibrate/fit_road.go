package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"surgeonward/facilities"
	"surgeonward/routing/road"
)

// roadFit is the road law with factor and spread, as far as journeys tell.
type roadFit struct {
	factor    float64
	p         [2]float64 // logarithms of cruise in m/s and acceleration in m/s²
	variation variation
}

func (f roadFit) law(spread road.Spread) road.Law {
	return road.Law{CruiseMS: math.Exp(f.p[0]), AccelerationMS2: math.Exp(f.p[1]), Spread: spread}
}

// roadData is the road journeys of one group, and what is fitted to them.
type roadData struct {
	items      []item
	now        roadNow
	fitsFactor bool // else the factor in force is kept
	fitsSpread bool // else the spread in force is kept
	ratios     []ratio
}

// roadNow is what is in force.
type roadNow struct {
	factor float64
	law    road.Law
}

// ratio is a road factor of one journey.
type ratio struct {
	value float64
	item  int
}

func newRoadData(items []item, now roadNow) *roadData {
	d := &roadData{items: items, now: now}
	for i := range items {
		if items[i].DrivenM > 0 {
			d.ratios = append(d.ratios, ratio{items[i].DrivenM / items[i].directM, i})
		}
	}
	slices.SortStableFunc(d.ratios, func(a, b ratio) int { return cmp.Compare(a.value, b.value) })
	d.fitsFactor = len(d.ratios) >= MinGroup
	d.fitsSpread = len(items) >= MinSpread
	return d
}

// some is the same fit to some of the journeys.
func (d *roadData) some(items []item) *roadData {
	part := newRoadData(items, d.now)
	part.fitsFactor, part.fitsSpread = d.fitsFactor && len(part.ratios) > 0, d.fitsSpread
	return part
}

// factor is the median of driven over great circle, each journey counted
// times[i] times (nil: once), within what the model takes.
func (d *roadData) factor(times []float64) float64 {
	if !d.fitsFactor {
		return d.now.factor
	}
	total := 0.0
	for _, r := range d.ratios {
		total += count(times, r.item)
	}
	below := 0.0
	for k, r := range d.ratios {
		below += count(times, r.item)
		switch {
		case below > total/2:
			return inFactor(r.value)
		case below == total/2 && total > 0:
			for _, next := range d.ratios[k+1:] {
				if count(times, next.item) > 0 {
					return inFactor((r.value + next.value) / 2)
				}
			}
		}
	}
	return d.now.factor
}

func inFactor(v float64) float64 { return min(max(v, road.MinRoadFactor), road.MaxRoadFactor) }

func count(times []float64, i int) float64 {
	if times == nil {
		return 1
	}
	return times[i]
}

// sample is the journeys with the distance driven, or as the factor has it
// where that was not recorded.
func (d *roadData) sample(factor float64) *sample {
	s := &sample{}
	for i := range d.items {
		metres := d.items[i].DrivenM
		if metres == 0 {
			metres = factor * d.items[i].directM
		}
		s.metres = append(s.metres, metres)
		s.logM = append(s.logM, math.Log(metres))
		s.logS = append(s.logS, d.items[i].logS)
	}
	return s
}

// scatter is the journeys about the median that the model would give: from the
// great circle, because nobody knows the distance driven beforehand. What the
// factor gets wrong is then in the spread, where it belongs.
func (d *roadData) scatter(f roadFit) *scatter {
	s := &scatter{residual: make([]float64, len(d.items)), perMin: make([]float64, len(d.items))}
	for i := range d.items {
		metres := f.factor * d.items[i].directM
		logS, _ := lawCurve{}.at(f.p, metres, math.Log(metres))
		s.residual[i], s.perMin[i] = d.items[i].logS-logS, 60*math.Exp(-logS)
	}
	return s
}

// deviations are the standard deviations to judge residuals of a sample by.
func deviations(s *sample, p [2]float64) []float64 {
	about := &scatter{residual: s.residuals(lawCurve{}, p), perMin: make([]float64, s.len())}
	for i := range about.perMin {
		logS, _ := lawCurve{}.at(p, s.metres[i], s.logM[i])
		about.perMin[i] = 60 * math.Exp(-logS)
	}
	v := about.improve(about.start(), nil, 5)
	sd := make([]float64, s.len())
	for i := range sd {
		sd[i] = v.sd(about.perMin[i])
	}
	return sd
}

// fit is the whole: factor, law, spread. It also returns the deviations that
// the law was fitted with.
func (d *roadData) fit() (roadFit, []float64) {
	f := roadFit{factor: d.factor(nil)}
	s := d.sample(f.factor)
	f.p = s.search(lawCurve{})
	var sd []float64
	for range 3 {
		sd = deviations(s, f.p)
		f.p = s.improve(lawCurve{}, f.p, sd, nil, 20)
	}
	about := d.scatter(f)
	f.variation = about.improve(about.start(), nil, 12)
	return f, sd
}

// bootstrap fits to journeys drawn with replacement, starting from the fit to
// all of them.
func (d *roadData) bootstrap(f roadFit, sd []float64, r *rand.Rand, replicates int) []roadFit {
	out := make([]roadFit, replicates)
	times := make([]float64, len(d.items))
	s, made := d.sample(f.factor), f.factor
	for k := range out {
		resample(r, times)
		g := roadFit{factor: d.factor(times)}
		if len(d.ratios) < len(d.items) && g.factor != made {
			s, made = d.sample(g.factor), g.factor
		}
		g.p = s.improve(lawCurve{}, f.p, sd, times, 6)
		if d.fitsSpread {
			g.variation = d.scatter(g).improve(f.variation, times, 4)
		}
		out[k] = g
	}
	return out
}

// says is the model's timing of a journey by a fit, worked out by the model
// itself. A fit so far off that the model refuses it says what is in force.
func (d *roadData) says(f roadFit, it *item) facilities.Timing {
	spread := d.now.law.Spread
	if d.fitsSpread {
		spread = f.variation.spread()
	}
	timing, err := f.law(spread).Timing(f.factor * it.directM)
	if err != nil {
		return it.now
	}
	return timing
}

// outOfLine are the rows beyond the fence of the spread.
func (d *roadData) outOfLine(f roadFit) []int {
	about := d.scatter(f)
	var rows []int
	for i, r := range about.residual {
		if math.Abs(r) > fence*f.variation.sd(about.perMin[i]) {
			rows = append(rows, d.items[i].Row)
		}
	}
	return rows
}

// The medians, in minutes, at which the spread is shown.
var shownMin = []float64{5, 10, 20}

// estimates puts a fit and its replicates into figures; widths are how sure
// the two of the law can be at all.
func (d *roadData) estimates(f roadFit, all []roadFit, widths [2]float64) []Estimate {
	var out []Estimate
	add := func(id, unit string, now float64, get func(roadFit) float64) *Estimate {
		values := make([]float64, len(all))
		for i := range all {
			values[i] = get(all[i])
		}
		out = append(out, estimate(id, unit, now, get(f), percentiles(values)))
		return &out[len(out)-1]
	}
	if d.fitsFactor {
		sorted := make([]float64, len(d.ratios))
		for i, r := range d.ratios {
			sorted[i] = inFactor(r.value)
		}
		out = append(out, estimate("road_factor", "1", d.now.factor, f.factor, quantileInterval(sorted, 0.5)))
	}
	add("road_cruise_kmh", "km/h", d.now.law.CruiseMS/road.KilometrePerHour,
		func(g roadFit) float64 { return math.Exp(g.p[0]) / road.KilometrePerHour }).
		settle(widths[0], road.MinCruiseKMH, road.MaxCruiseKMH)
	add("road_acceleration_kmh_per_min", "km/h per min", d.now.law.AccelerationMS2/road.KilometrePerHourPerMinute,
		func(g roadFit) float64 { return math.Exp(g.p[1]) / road.KilometrePerHourPerMinute }).
		settle(widths[1], road.MinAccelerationKMHPerMin, road.MaxAccelerationKMHPerMin)
	if !d.fitsSpread {
		return out
	}
	// The three trade against each other: what they say together is what counts.
	was := d.now.law.Spread
	add("road_spread_b0", "min^2", was.B0Min2, func(g roadFit) float64 { return g.variation.spread().B0Min2 })
	add("road_spread_b1", "min", was.B1Min, func(g roadFit) float64 { return g.variation.spread().B1Min })
	add("road_spread_b2", "1", was.B2, func(g roadFit) float64 { return g.variation.spread().B2 })
	for _, m := range shownMin {
		c, err := was.CoefficientOfVariation(60 * m)
		if err != nil {
			continue
		}
		add(fmt.Sprintf("slow_over_typical_at_%g_min", m), "1", math.Exp(z90*math.Sqrt(math.Log1p(c*c))),
			func(g roadFit) float64 { return math.Exp(z90 * g.variation.sd(1/m)) })
	}
	return out
}
