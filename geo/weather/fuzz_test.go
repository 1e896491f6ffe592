package weather_test

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"surgeonward/geo/weather"
)

var extremes = []string{
	"", "=", "METAR", "TAF", "METAR YUDO 161200Z", "TAF YUDO 161100Z 1612/1712",
	"METAR YUDO 311200Z CAVOK", "METAR YUDO 001200Z CAVOK", "METAR YUDO 162459Z CAVOK",
	"METAR YUDO 161200Z 36099G99KT P6SM M1/4SM 1 1 1/2SM R99/9999V0000FT VV999 M99/M99 Q9999",
	"METAR YUDO 161200Z ///////KT //// ////// ///////// // ///// Q////",
	"METAR YUDO 161200Z 00000P99GP99MPS 0000NDV 9999NDV 0000N 1/0SM 0/0SM 99/99SM",
	"METAR YUDO 161200Z +-VCRETSRARARARARA RETSSNGRGSPL VCVC WS WS WS ALL WS ALL RWY WS000/00000KT",
	"METAR YUDO 161200Z CAVOK BECMG BECMG TEMPO TEMPO NOSIG NOSIG BECMG FM9999 TL9999 AT0000",
	"METAR YUDO 311200Z CAVOK TEMPO FM1200 TL1200 AT1200 AT1400",
	"TAF YUDO 161100Z 0000/0000 CAVOK", "TAF YUDO 161100Z 3124/3124 CAVOK", "TAF YUDO 161100Z 3024/3124 CAVOK",
	"TAF YUDO 161100Z 1612/1712 CAVOK FM FM9 FM999999 FM161200 FM171200 PROB PROB30 PROB30 TEMPO 1612/1612",
	"TAF YUDO 161100Z 1612/1712 1612/1712 1612/1712 TX99/9999Z TNM99/0100Z AMD AMD NOT RMK RMK",
	"TAF AMD COR NIL CNL AUTO YUDO", "TAF YUDO 161100Z 1612/1712 FM161300 CAVOK",
	milesForecast, metresForecast, strings.Repeat("A ", 1000), strings.Repeat("TEMPO ", 333), "METAR\x00", "METAR\xff",
	"METAR YUDO 221630Z 24004MPS 0600 R12/1000U DZ FG SCT010 OVC020 17/16 Q1018 BECMG TL1700 0800 FG BECMG AT1800 9999 NSW",
}

// addExtremes seeds with references far away in the calendar as well.
func addExtremes(f *testing.F) {
	for _, text := range extremes {
		for _, unix := range []int64{near.Unix(), 0, -62135596800, 253402300799, math.MaxInt64, math.MinInt64} {
			f.Add(text, unix)
		}
	}
}

// sound checks what must hold of any conditions that come out of the package.
func sound(t *testing.T, c weather.Conditions) {
	t.Helper()
	finite := func(name string, x, low, high float64) {
		if math.IsNaN(x) || x < low || x > high {
			t.Fatalf("%s %v", name, x)
		}
	}
	m, state := c.Ceiling()
	finite("ceiling", m, 0, 999*100*0.3048)
	if c.Sky == nil && state != weather.CeilingUnknown || len(c.Unread) > 0 && state == weather.CeilingNone {
		t.Fatalf("ceiling %v %s of %+v", m, state, c)
	}
	if v, ok := c.LowestVisibility(); ok {
		finite("visibility", v.M, 0, 160e3)
	}
	if c.Wind != nil {
		finite("wind direction", c.Wind.FromDeg, 0, 360)
		if err := c.Wind.Check(); err != nil {
			t.Fatal(err)
		}
	}
	for _, x := range []*float64{c.TemperatureC, c.DewPointC} {
		if x != nil {
			finite("temperature", *x, -99, 99)
		}
	}
	if c.PressureHPa != nil {
		finite("pressure", *c.PressureHPa, 850, 1100)
	}
	c.Icing()
}

func FuzzParseReport(f *testing.F) {
	addExtremes(f)
	f.Fuzz(func(t *testing.T, text string, unix int64) {
		ref := time.Unix(unix, 0)
		r, err := weather.ParseReport(text, ref)
		again, errAgain := weather.ParseReport(text, ref)
		if !reflect.DeepEqual(r, again) || (err == nil) != (errAgain == nil) {
			t.Fatal("two answers to one question")
		}
		if err != nil {
			if !reflect.DeepEqual(r, weather.Report{}) {
				t.Fatalf("%+v beside %v", r, err)
			}
			return
		}
		if !r.Missing && r.Issued.Sub(ref).Abs() > 31*24*time.Hour {
			t.Fatalf("issued %s, read near %s", r.Issued, ref)
		}
		sound(t, r.Base)
		for _, c := range r.Trends {
			sound(t, c.Conditions)
			if c.To.Before(c.From) || c.From.Before(r.Issued) {
				t.Fatalf("trend from %s to %s", c.From, c.To)
			}
		}
		printed := strings.Join(strings.Fields(strings.ToUpper(text)), " ")
		for _, group := range r.Unread {
			if !strings.Contains(printed, group) {
				t.Fatalf("%q is not in %q", group, printed)
			}
		}
	})
}

func FuzzParseForecast(f *testing.F) {
	addExtremes(f)
	f.Fuzz(func(t *testing.T, text string, unix int64) {
		fc, err := weather.ParseForecast(text, time.Unix(unix, 0))
		if err != nil {
			if !reflect.DeepEqual(fc, weather.Forecast{}) {
				t.Fatalf("%+v beside %v", fc, err)
			}
			return
		}
		if fc.Missing || fc.Cancelled {
			return
		}
		if !fc.From.Before(fc.To) || fc.To.Sub(fc.From) > 48*time.Hour {
			t.Fatalf("valid from %s to %s", fc.From, fc.To)
		}
		for _, c := range fc.Changes {
			if c.From.Before(fc.From) || c.To.After(fc.To) || !c.From.Before(c.To) {
				t.Fatalf("%s from %s to %s", c.Kind, c.From, c.To)
			}
		}
		for when := fc.From; when.Before(fc.To); when = when.Add(time.Hour) {
			prevailing, temporary, ok := fc.At(when)
			if !ok {
				t.Fatalf("nothing at %s", when)
			}
			sound(t, weather.Worst(append(temporary, prevailing)...))
		}
	})
}
