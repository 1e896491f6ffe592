package calibrate

import (
	"math"

	"surgeonward/routing/road"
)

// curve is a travel time of two positive parameters, both known by their
// logarithms: its logarithm over a distance and the slopes of that.
type curve interface {
	// at takes the distance in metres and its logarithm.
	at(p [2]float64, distanceM, logM float64) (logS float64, slope [2]float64)
	// bounds are the least and largest of the parameters' logarithms.
	bounds() (low, high [2]float64)
	// starts are where a search begins.
	starts() [][2]float64
}

// lawCurve is road.Law: cruise speed in m/s and acceleration in m/s².
type lawCurve struct{}

func (lawCurve) at(p [2]float64, distanceM, logM float64) (float64, [2]float64) {
	// Below the joint the time is 2 sqrt(d/a). The slopes agree at the joint.
	if logM <= 2*p[0]-p[1] {
		return math.Ln2 + (logM-p[1])/2, [2]float64{0, -0.5}
	}
	gather, cruise := math.Exp(p[0]-p[1]), distanceM*math.Exp(-p[0])
	total := gather + cruise
	return math.Log(total), [2]float64{(gather - cruise) / total, -gather / total}
}

func (lawCurve) bounds() (low, high [2]float64) {
	return logs(road.MinCruiseKMH*road.KilometrePerHour, road.MinAccelerationKMHPerMin*road.KilometrePerHourPerMinute),
		logs(road.MaxCruiseKMH*road.KilometrePerHour, road.MaxAccelerationKMHPerMin*road.KilometrePerHourPerMinute)
}

func (lawCurve) starts() [][2]float64 {
	var out [][2]float64
	for _, cruise := range []float64{30, 60, 120} {
		for _, acceleration := range []float64{5, 40, 300} {
			out = append(out, logs(cruise*road.KilometrePerHour, acceleration*road.KilometrePerHourPerMinute))
		}
	}
	return out
}

// flightCurve is a fixed time in seconds and the distance at a speed in m/s.
type flightCurve struct{}

func (flightCurve) at(p [2]float64, distanceM, _ float64) (float64, [2]float64) {
	cruise, fixed := distanceM*math.Exp(-p[0]), math.Exp(p[1])
	total := cruise + fixed
	return math.Log(total), [2]float64{-cruise / total, fixed / total}
}

// bounds: 30 to 1000 km/h, 1 s to 2 h.
func (flightCurve) bounds() (low, high [2]float64) {
	return logs(30*road.KilometrePerHour, 1), logs(1000*road.KilometrePerHour, 7200)
}

func (flightCurve) starts() [][2]float64 {
	var out [][2]float64
	for _, cruise := range []float64{120, 240, 480} {
		for _, fixed := range []float64{60, 300, 1200} {
			out = append(out, logs(cruise*road.KilometrePerHour, fixed))
		}
	}
	return out
}

func logs(a, b float64) [2]float64 { return [2]float64{math.Log(a), math.Log(b)} }
