package position_test

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"surgeonward/geo"
	"surgeonward/geo/position"
)

func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"", " ", "45.52,-29.41", "45 31.2N 029 24.6W", `45°31'12"N 29°24'36"W`, "N45.52E29.41", "44d40m55sN 73d59m11sW",
		"geo:45.52,-29.41,12;crs=wgs84;u=40", "geo:90,180;u=0", "+45.52-029.41+12CRSWGS_84/", "+90+180/", "-900000.0-1800000.0/",
		"38SMB4488", "26T LR 11782 43543", "BAN0000000000", "ZAH", "YRP99999 00000", "60CWM99999999", "01XEN", "32VKK0000000000",
		"38S 444500 3688500", "26T 311782mE 5043543mN", "444500 3688500 38n", "n 2000000 2000000", "s 800000 800000", "60 south 899999 1100000",
		"8FVC2222+22", "7FG49Q00+", "CVXXXXXX+XXXXXXX", "22000000+", "CJ+2VX", "+G6", "45+29",
		"NaN,NaN", "Inf -Inf", "1e300,1e300", "-0 -0", "90 180", "-90,-180", "89 59 59.999999999N 179 59 59.999999999E",
		strings.Repeat("9", 200), strings.Repeat("0", 90) + "1 " + strings.Repeat("0", 90) + "1", "0." + strings.Repeat("0", 180) + "1 1",
		strings.Repeat("°", 200), strings.Repeat("N", 200), "\x00", "\xff\xfe", "\u202e45.52 -29.41", "45,52 29,41", ",,,", ":::", "' \"",
		"1:2:3N 4:5:6W", "D M S", "S S S", "1 M 2 S 3", "E1E1", "N1E1", "1E1N", "- -", "+ +", "/", "+1+1/",
	} {
		f.Add(text)
	}
	for _, text := range []string{
		aml(goodAML), aml(strings.ReplaceAll(goodAML, "=", "==")), aml("lt=;lg=;rd=;top=;lc=;pm=;" + person), `A"ML=1`, `A"ML=1;ml=11`, `a"ml=1;`, "\ufeff" + aml(goodAML),
		pidflo(circle("45.52 -29.41", "30")), pidflo(circle("90 180", "1e9")), pidflo(circle("1 2 3", "")), pidflo(`<gml:Polygon` + flat + `/>`), "<", "<a>", "<!DOCTYPE a>",
		"<circle>45.52,-29.41 1.5</circle>", "<circle>90,180 20015</circle>", "<circle/>",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		parsed, err := position.Parse(text)
		if err != nil {
			checkRefusal(t, text, err)
			return
		}
		if err := geo.Check(parsed.Point); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if !(parsed.UncertaintyM > 0) || math.IsInf(parsed.UncertaintyM, 0) {
			t.Fatalf("%q: uncertainty %v", text, parsed.UncertaintyM)
		}
		if parsed.AltitudeM != nil && !(math.Abs(*parsed.AltitudeM) <= 100_000) {
			t.Fatalf("%q: altitude %v", text, *parsed.AltitudeM)
		}
		if longest := map[bool]int{false: 200, true: 64 << 10}; parsed.Format == "" || utf8.RuneCountInString(text) > longest[parsed.Format.IsMessage()] {
			t.Fatalf("%q: format %q", text, parsed.Format)
		}
		if !(parsed.ConfidencePct >= 0 && parsed.ConfidencePct <= 100) {
			t.Fatalf("%q: confidence %v", text, parsed.ConfidencePct)
		}
		kept, err := position.Anonymous(text)
		if again, err2 := position.Parse(kept); err != nil || err2 != nil || again.Point != parsed.Point || again.UncertaintyM != parsed.UncertaintyM {
			t.Fatalf("%q is kept as %q: %v, %v", text, kept, err, err2)
		}
		if twice, err := position.Anonymous(kept); err != nil || twice != kept {
			t.Fatalf("%q is kept as %q and then as %q: %v", text, kept, twice, err)
		}
		rewrite(t, parsed)
	})
}

// rewrite writes what was read in three formats and expects the same place back.
func rewrite(t *testing.T, parsed position.Parsed) {
	mgrs, err1 := position.FormatMGRS(parsed.Point, 5)
	code, err2 := position.FormatPlusCode(parsed.Point, 15)
	minutes, err3 := position.FormatDM(parsed.Point)
	for i, err := range []error{err1, err2, err3} {
		if err != nil {
			t.Fatalf("%v in format %d: %v", parsed.Point, i, err)
		}
	}
	for _, text := range []string{mgrs, code, minutes} {
		again, err := position.Parse(text)
		if err != nil {
			t.Fatalf("%v was written %q: %v", parsed.Point, text, err)
		}
		if d := geo.Distance(parsed.Point, again.Point); d > again.UncertaintyM*slack {
			t.Fatalf("%v was written %q and read %g m away", parsed.Point, text, d)
		}
	}
}
