package calibrate

import "math"

// Estimate is one figure.
type Estimate struct {
	Parameter string   `json:"parameter"` // id of the model's parameter or allowance, or of what follows from them
	Unit      string   `json:"unit"`
	Now       float64  `json:"now"`
	Fitted    float64  `json:"fitted"`
	Interval  Interval `json:"interval"`
	Settled   bool     `json:"settled"` // the interval is narrow enough to use the figure
	Differs   bool     `json:"differs"` // the region's fitted figure is outside this group's interval
}

func estimate(id, unit string, now, fitted float64, i Interval) Estimate {
	return Estimate{Parameter: id, Unit: unit, Now: round(now), Fitted: round(fitted), Interval: i.round(), Settled: true}
}

// settle judges the interval: it must not span more than a factor of widest,
// neither as it is nor by its width in logarithms that the curvature of the fit
// allows, and must not touch the bounds of what is believable. An interval
// that the journeys do not set at all becomes open.
func (e *Estimate) settle(width, low, high float64) {
	if width > math.Log(widest) {
		e.Interval, e.Settled = Interval{}, false
		return
	}
	i := e.Interval
	e.Settled = *i.Low > low*1.001 && *i.High < high*0.999 && *i.High <= widest**i.Low
}
