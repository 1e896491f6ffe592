package road_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/routing/road"
)

const (
	mileM = 1609.344 // international mile in metres, exact
	minS  = 60.0
)

// calgary is the law Budge, Ingolfsson and Zerom fitted, as quoted from memory
// by the reference notes: 100.7 km/h, 41.0 km/h per minute.
var calgary = road.Law{
	CruiseMS:        100.7 * road.KilometrePerHour,
	AccelerationMS2: 41.0 * road.KilometrePerHourPerMinute,
	Spread:          road.Spread{B0Min2: 0.336, B1Min: 0.000058, B2: 0.0388},
}

// halfMile is a = 1 mile per minute squared, v = 0.5 mile per minute.
var halfMile = road.Law{CruiseMS: 0.5 * mileM / minS, AccelerationMS2: mileM / (minS * minS)}

// fireService is T = 0.65 + 1.7 D minutes over D miles, read as v/a + D/v.
var fireService = road.Law{CruiseMS: mileM / (1.7 * minS), AccelerationMS2: mileM / (1.7 * 0.65 * minS * minS)}

func TestTimeWorkedNumbers(t *testing.T) {
	const (
		larson  = "arithmetic on Larson and Odoni 1981, section 3.7.2, with a = 1 mi/min², v = 0.5 mi/min"
		fire    = "arithmetic on the linear fire-service formula T = 0.65 + 1.7 D, read as v/a + D/v"
		fireTxt = "linear fire-service formula T = 0.65 + 1.7 D minutes over D miles"
		budge   = "arithmetic on Budge, Ingolfsson and Zerom 2010 (parameters from memory)"
	)
	for _, c := range []struct {
		name, source string
		law          road.Law
		distanceM    float64
		wantMin      float64
		tolMin       float64
	}{
		{"a tenth of a mile", larson, halfMile, 0.10 * mileM, 0.632455532, 1e-9},
		{"at the joint", larson, halfMile, 0.25 * mileM, 1, 1e-12},
		{"half a mile", larson, halfMile, 0.5 * mileM, 1.5, 1e-12},
		{"a mile", larson, halfMile, mileM, 2.5, 1e-12},
		{"two miles", larson, halfMile, 2 * mileM, 4.5, 1e-12},

		{"fire, short branch", fire, fireService, 0.1 * mileM, 0.664831, 1e-6},
		{"fire, short branch", fire, fireService, 0.2 * mileM, 0.940213, 1e-6},
		{"fire, joint", fire, fireService, 0.382353 * mileM, 1.300000, 1e-6},
		{"fire, half a mile", fireTxt, fireService, 0.5 * mileM, 1.50, 1e-12},
		{"fire, one mile", fireTxt, fireService, 1 * mileM, 2.35, 1e-12},
		{"fire, two miles", fireTxt, fireService, 2 * mileM, 4.05, 1e-12},
		{"fire, five miles", fireTxt, fireService, 5 * mileM, 9.15, 1e-12},
		{"fire, four minutes", fireTxt, fireService, (4 - 0.65) / 1.7 * mileM, 4, 1e-12},
		{"fire, about two miles", "published worked value: 4 min is about 2 mi (1.9706)", fireService, 1.9706 * mileM, 4, 1e-4},
		{"fire, about five miles", "published worked value: 9 min is about 5 mi (4.9118)", fireService, 4.9118 * mileM, 9, 1e-4},

		{"half a kilometre", budge, calgary, 500, 1.7108, 5e-5},
		{"1 km", budge, calgary, 1000, 2.4194, 5e-5},
		{"2 km", budge, calgary, 2000, 3.4216, 5e-5},
		{"4 km", budge, calgary, 4000, 4.8389, 5e-5},
		{"5 km", budge, calgary, 5000, 5.4352, 5e-5},
		{"10 km", budge, calgary, 10000, 8.4144, 5e-5},
		{"20 km", budge, calgary, 20000, 14.3727, 5e-5},
		{"printed short branch", "2.42 sqrt(d), printed form from memory, to its rounding", calgary, 1000, 2.42, 0.005},
		{"printed long branch", "2.46 + 0.596 d, printed form from memory, to its rounding", calgary, 10000, 2.46 + 5.96, 0.01},
		{"nothing", "identity", calgary, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := c.law.Time(c.distanceM)
			require.NoError(t, err)
			assert.InDelta(t, c.wantMin, got/minS, c.tolMin, c.source)
		})
	}
}

func TestLawConstants(t *testing.T) {
	for _, c := range []struct {
		name, source   string
		want, got, tol float64
	}{
		{"joint, miles", "Larson and Odoni: v²/a", 0.25, halfMile.JointM() / mileM, 1e-12},
		{"fire cruise, mph", "1/1.7 mile per minute", 35.294, fireService.CruiseMS / mileM * 3600, 5e-4},
		{"fire acceleration, mi/min²", "1/(1.7 x 0.65)", 0.904977, fireService.AccelerationMS2 / mileM * 3600, 1e-6},
		{"fire joint, miles", "0.65/1.7", 0.382353, fireService.JointM() / mileM, 1e-6},
		{"fire short branch, min per sqrt mile", "2/sqrt(a); 2.10 in the fire reports, from memory", 2.10238,
			2 / math.Sqrt(fireService.AccelerationMS2/mileM*3600), 1e-5},
		{"Calgary v/a, min", "100.7/41.0", 2.45610, calgary.CruiseMS / calgary.AccelerationMS2 / minS, 1e-5},
		{"Calgary 1/v, min per km", "60/100.7", 0.595829, 1000 / calgary.CruiseMS / minS, 1e-6},
		{"Calgary joint, km", "100.7²/(60 x 41.0)", 4.12215, calgary.JointM() / 1000, 1e-5},
		{"Calgary 2/sqrt(a)", "2/sqrt(41/60)", 2.41943, 2 / math.Sqrt(calgary.AccelerationMS2/1000*3600), 1e-5},
	} {
		assert.InDelta(t, c.want, c.got, c.tol, "%s: %s", c.name, c.source)
	}
}

// Both branches, and their slopes, agree where they meet, whatever the law.
func TestJoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		law := laws(t)
		joint, h := law.JointM(), law.JointM()*1e-5
		before, at, after := median(t, law, joint-h), median(t, law, joint), median(t, law, joint+h)
		assert.InEpsilon(t, 2*law.CruiseMS/law.AccelerationMS2, at, 1e-12, "T(v²/a) = 2 v/a")
		assert.InEpsilon(t, 1/law.CruiseMS, (at-before)/h, 1e-4, "slope from below is 1/v")
		assert.InEpsilon(t, 1/law.CruiseMS, (after-at)/h, 1e-4, "slope from above is 1/v")
	})
	assert.InDelta(t, 2.0, (median(t, halfMile, 0.26*mileM)-median(t, halfMile, 0.25*mileM))/minS/0.01, 1e-9,
		"2 minutes per mile above the joint (Larson and Odoni's numbers)")
	assert.InDelta(t, 2.0, (median(t, halfMile, 0.25*mileM)-median(t, halfMile, 0.249999*mileM))/minS/0.000001, 1e-3,
		"and just below it")
}

// The law has no more to give than cruise speed throughout and no less than
// stopping once more on the way would cost.
func TestTimeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		law := laws(t)
		d := rapid.Float64Range(0, 3e7).Draw(t, "distance_m")
		e := rapid.Float64Range(0, 3e7).Draw(t, "more_m")
		td, te, both := median(t, law, d), median(t, law, e), median(t, law, d+e)
		assert.GreaterOrEqual(t, both, td*(1-1e-12), "farther is never sooner")
		assert.LessOrEqual(t, both, (td+te)*(1+1e-12), "a stop on the way never saves time")
		assert.GreaterOrEqual(t, td, d/law.CruiseMS*(1-1e-12), "never faster than cruise speed")

		faster := law
		faster.CruiseMS *= 1.1
		if faster.Check() == nil {
			assert.LessOrEqual(t, median(t, faster, d), td*(1+1e-12), "a faster vehicle is never later")
		}
		brisker := law
		brisker.AccelerationMS2 *= 1.1
		if brisker.Check() == nil {
			assert.LessOrEqual(t, median(t, brisker, d), td*(1+1e-12), "nor is a brisker one")
		}
	})
}

func TestLawRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		law  road.Law
		says []string
	}{
		{"zero value", road.Law{}, []string{"cruise speed 0 km/h", "acceleration 0 km/h per minute"}},
		{"knots for km/h", road.Law{CruiseMS: 500, AccelerationMS2: 0.2}, []string{"cruise speed 1800 km/h is outside 5 to 200"}},
		{"backwards", road.Law{CruiseMS: -10, AccelerationMS2: -1}, []string{"cruise speed -36", "acceleration -216"}},
		{"not a number", road.Law{CruiseMS: math.NaN(), AccelerationMS2: math.NaN()}, []string{"cruise speed NaN", "acceleration NaN"}},
		{"infinite", road.Law{CruiseMS: math.Inf(1), AccelerationMS2: math.Inf(1)}, []string{"cruise speed +Inf", "acceleration +Inf"}},
		{"spread", road.Law{CruiseMS: 20, AccelerationMS2: 0.2, Spread: road.Spread{B0Min2: -1, B1Min: math.NaN(), B2: 11}},
			[]string{"spread b0 -1", "spread b1 NaN", "spread b2 11"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.law.Time(1000)
			_, timingErr := c.law.Timing(1000)
			for _, phrase := range c.says {
				assert.ErrorContains(t, err, phrase, "definition: 5 to 200 km/h, 1 to 10000 km/h per minute")
				assert.ErrorContains(t, timingErr, phrase)
			}
		})
	}
	for _, d := range []float64{-1, -math.SmallestNonzeroFloat64, math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := calgary.Time(d)
		assert.ErrorContains(t, err, "road distance", "%v", d)
		_, err = calgary.Timing(d)
		assert.ErrorContains(t, err, "road distance", "%v", d)
	}
	for _, kmh := range []float64{road.MinCruiseKMH, road.MaxCruiseKMH} {
		for _, acceleration := range []float64{road.MinAccelerationKMHPerMin, road.MaxAccelerationKMHPerMin} {
			law := road.Law{CruiseMS: kmh * road.KilometrePerHour, AccelerationMS2: acceleration * road.KilometrePerHourPerMinute}
			assert.NoError(t, law.Check(), "the ends of the range are in it")
		}
	}
}

func ExampleLaw_Timing() {
	law := road.Law{
		CruiseMS:        72 * road.KilometrePerHour,
		AccelerationMS2: 36 * road.KilometrePerHourPerMinute,
		Spread:          road.Spread{B2: 0.04},
	}
	timing, err := law.Timing(30_000)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("30 km: %.0f s, slow %.0f s\n", timing.TypicalS, timing.SlowS)
	// Output: 30 km: 1620 s, slow 2088 s
}

// laws draws a believable law.
func laws(t *rapid.T) road.Law {
	return road.Law{
		CruiseMS:        rapid.Float64Range(road.MinCruiseKMH, road.MaxCruiseKMH).Draw(t, "cruise_kmh") * road.KilometrePerHour,
		AccelerationMS2: rapid.Float64Range(road.MinAccelerationKMHPerMin, road.MaxAccelerationKMHPerMin).Draw(t, "acceleration") * road.KilometrePerHourPerMinute,
		Spread: road.Spread{
			B0Min2: rapid.Float64Range(0, 5).Draw(t, "b0"),
			B1Min:  rapid.Float64Range(0, 5).Draw(t, "b1"),
			B2:     rapid.Float64Range(0, 1).Draw(t, "b2"),
		},
	}
}

func median(t require.TestingT, law road.Law, distanceM float64) float64 {
	got, err := law.Time(distanceM)
	require.NoError(t, err)
	return got
}
