package weather_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/geo/weather"
)

// Identity: what is written into a report is read out of it.
func TestReportRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		issued := at(1, 0, 0).Add(time.Duration(rapid.IntRange(0, 31*24*60-1).Draw(t, "minute")) * time.Minute)
		ref := issued.Add(time.Duration(rapid.IntRange(-13*24, 13*24).Draw(t, "hours")) * time.Hour)
		from, speed := 10*rapid.IntRange(1, 36).Draw(t, "from"), rapid.IntRange(1, 99).Draw(t, "speed")
		visibility := 50 * rapid.IntRange(1, 199).Draw(t, "visibility")
		cover := rapid.SampledFrom([]weather.Cover{weather.Few, weather.Scattered, weather.Broken, weather.Overcast}).Draw(t, "cover")
		base := rapid.IntRange(0, 999).Draw(t, "base")
		temperature, dew := rapid.IntRange(-60, 50).Draw(t, "temperature"), rapid.IntRange(-60, 50).Draw(t, "dew")
		pressure := rapid.IntRange(850, 1100).Draw(t, "pressure")
		signed := func(n int) string { return strings.Replace(fmt.Sprintf("%03d", n), "-", "M", 1) }
		two := func(n int) string {
			if n < 0 {
				return signed(n)
			}
			return fmt.Sprintf("%02d", n)
		}
		text := fmt.Sprintf("METAR YUDO %sZ %03d%02dKT %04d %s%03d %s/%s Q%04d", issued.Format("021504"),
			from, speed, visibility, cover, base, two(temperature), two(dew), pressure)

		r, err := weather.ParseReport(text, ref)
		require.NoError(t, err, text)
		assert.Empty(t, r.Unread, text)
		assert.Equal(t, issued, r.Issued, text)
		assert.Equal(t, float64(from), r.Base.Wind.FromDeg)
		assert.InDelta(t, float64(speed)*kt, r.Base.Wind.SpeedMS, toleranceMS)
		assert.Equal(t, float64(visibility), r.Base.Visibility.M)
		require.Len(t, r.Base.Sky.Layers, 1)
		assert.Equal(t, cover, r.Base.Sky.Layers[0].Cover)
		assert.InDelta(t, float64(base)*30.48, r.Base.Sky.Layers[0].BaseM, toleranceM)
		assert.Equal(t, float64(temperature), *r.Base.TemperatureC)
		assert.Equal(t, float64(dew), *r.Base.DewPointC)
		assert.Equal(t, float64(pressure), *r.Base.PressureHPa)
		_, state := r.Base.Ceiling()
		assert.Equal(t, cover == weather.Broken || cover == weather.Overcast, state == weather.CeilingKnown)
	})
}

// Definition: a slip of one character in the group that makes the ceiling never
// turns it into proof that there is none.
func TestOneSlipNeverClearsTheSky(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		layer := []byte(rapid.SampledFrom([]string{"BKN008", "OVC002", "VV001", "BKN005CB", "OVC///", "VV///"}).Draw(t, "layer"))
		const alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789/ "
		i := rapid.IntRange(0, len(layer)-1).Draw(t, "at")
		other := alphabet[rapid.IntRange(0, len(alphabet)-1).Draw(t, "other")]
		var slip string
		switch rapid.IntRange(0, 2).Draw(t, "kind") {
		case 0:
			slip = string(layer[:i]) + string(other) + string(layer[i+1:])
		case 1:
			slip = string(layer[:i]) + string(layer[i+1:])
		default:
			slip = string(layer[:i]) + string(other) + string(layer[i:])
		}
		before := rapid.SampledFrom([]string{"", "FEW004 ", "SCT006 "}).Draw(t, "before")
		text := "METAR YUDO 161200Z 24008KT 3000 " + before + slip + " 12/11 Q1013"
		r, err := weather.ParseReport(text, near)
		require.NoError(t, err, text)
		_, state := r.Base.Ceiling()
		assert.NotEqual(t, weather.CeilingNone, state, text)
	})
}

func anyForecast() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		element := func(label string) string {
			var parts []string
			for _, choice := range [][]string{
				{"", "24008KT", "VRB02KT", "31025G40KT"},
				{"", "9999", "0300", "1 1/2SM", "P6SM", "CAVOK"},
				{"", "FG", "-SHRA", "+TSRA", "NSW"},
				{"", "BKN003", "FEW010 OVC030", "SCT015CB", "VV///", "NSC"},
				{"", "", "", "XYZZY"},
			} {
				parts = append(parts, rapid.SampledFrom(choice).Draw(t, label))
			}
			return " " + strings.Join(parts, " ")
		}
		text := "TAF YUDO 161100Z 1612/1718 24008KT" + strings.Replace(element("base"), "24008KT", "", 1)
		for range rapid.IntRange(0, 4).Draw(t, "changes") {
			from := rapid.IntRange(12, 40).Draw(t, "from")
			to := rapid.IntRange(from+1, 42).Draw(t, "to")
			day := func(h int) string { return fmt.Sprintf("%02d%02d", 16+h/24, h%24) }
			head := rapid.SampledFrom([]string{"BECMG", "TEMPO", "PROB30", "PROB40 TEMPO", "FM"}).Draw(t, "head")
			if head == "FM" {
				text += " FM" + day(from) + "00" + element("change")
			} else {
				text += " " + head + " " + day(from) + "/" + day(to) + element("change")
			}
		}
		return text
	})
}

// Definition: there is an answer at every instant of the validity and at no other,
// and it changes only where a change begins or ends.
func TestForecastIsDefinedThroughout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := anyForecast().Draw(t, "text")
		f, err := weather.ParseForecast(text, near)
		require.NoError(t, err, text)
		edges := map[time.Time]bool{}
		for _, c := range f.Changes {
			assert.False(t, c.From.Before(f.From) || c.To.After(f.To), text)
			edges[c.From], edges[c.To] = true, true
		}
		last, lastTemporary, ok := f.At(f.From)
		require.True(t, ok)
		for when := f.From.Add(time.Hour); when.Before(f.To); when = when.Add(time.Hour) {
			now, temporary, ok := f.At(when)
			require.True(t, ok)
			if !edges[when] {
				assert.Equal(t, last, now, text)
				assert.Equal(t, lastTemporary, temporary, text)
			}
			last, lastTemporary = now, temporary
		}
		_, _, ok = f.At(f.To)
		assert.False(t, ok)
	})
}

// Definition: the worst of some conditions is no better than any of them, in
// whatever order they come.
func TestWorstIsNoBetterThanAny(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, err := weather.ParseForecast(anyForecast().Draw(t, "text"), near)
		require.NoError(t, err)
		cs := []weather.Conditions{f.Base}
		for _, c := range f.Changes {
			cs = append(cs, c.Conditions)
		}
		w := weather.Worst(cs...)
		ceiling, state := w.Ceiling()
		for _, c := range cs {
			one, oneState := c.Ceiling()
			if oneState == weather.CeilingKnown {
				assert.LessOrEqual(t, ceiling, one)
				assert.NotEqual(t, weather.CeilingNone, state)
			}
			if oneState == weather.CeilingUnknown {
				assert.Equal(t, weather.CeilingUnknown, state)
			}
			if c.Visibility != nil {
				assert.LessOrEqual(t, w.Visibility.M, c.Visibility.M)
			} else if w.Visibility != nil {
				assert.True(t, w.Visibility.LessThan)
			}
			if c.Wind != nil {
				assert.GreaterOrEqual(t, w.Wind.SpeedMS, c.Wind.SpeedMS)
				assert.GreaterOrEqual(t, w.Wind.PeakMS(), c.Wind.PeakMS())
			}
			assert.True(t, !c.Thunderstorm() || w.Thunderstorm())
			assert.True(t, !c.Cumulonimbus() || w.Cumulonimbus())
		}
		for i, j := 0, len(cs)-1; i < j; i, j = i+1, j-1 {
			cs[i], cs[j] = cs[j], cs[i]
		}
		back := weather.Worst(cs...)
		backCeiling, backState := back.Ceiling()
		assert.Equal(t, ceiling, backCeiling)
		assert.Equal(t, state, backState)
		assert.Equal(t, w.Visibility, back.Visibility)
	})
}
