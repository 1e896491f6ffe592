package position_test

import (
	"math"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/geo/position"
)

// What must never come out of a message again.
const (
	subscriber = "234302543446355"
	handset    = "356708041746734"
)

// aml writes a message with the fields and, in the end, its true length.
func aml(fields string) string {
	body := `A"ML=1;` + fields + `;ml=`
	length := len(body) + 2
	if length >= 100 {
		length++
	}
	return body + strconv.Itoa(length)
}

// person are the fields that name whose telephone it is.
const person = "si=" + subscriber + ";ei=" + handset + ";mcc=234;mnc=30"

const goodAML = "lt=+45.52000;lg=-29.41000;rd=50;top=20310314214000;lc=95;pm=G;" + person

func TestParseAMLPublished(t *testing.T) {
	const source = "AML examples in published documents and libraries, read second hand; the lengths were counted"
	for _, c := range []struct {
		name, source, text string
		want               orb.Point
		radiusM, pct       float64
		at                 time.Time
		method             string
	}{
		{"satellites", source, `A"ML=1;lt=+55.74297;lg=-4.26880;rd=10;top=20130717175329;lc=95;pm=G;si=234302543446355;ei=356708041746734;mcc=234;mnc=30;ml=127`,
			at(55.74297, -4.2688), 10, 95, time.Date(2013, 7, 17, 17, 53, 29, 0, time.UTC), "satellite navigation"},
		{"Wi-Fi", source, `A"ML=1;lt=+54.76397;lg=-0.18305;rd=50;top=20130717141935;lc=90;pm=W;si=123456789012345;ei=1234567890123456;mcc=234;mnc=30;ml=128`,
			at(54.76397, -0.18305), 50, 90, time.Date(2013, 7, 17, 14, 19, 35, 0, time.UTC), "Wi-Fi"},
		{"no plus sign", source, `A"ML=1;lt=48.82639;lg=-2.36619;rd=52;top=20191112112928;lc=68;pm=G;si=208201771948415;ei=353472104343540;mcc=208;mnc=20;ml=126`,
			at(48.82639, -2.36619), 52, 68, time.Date(2019, 11, 12, 11, 29, 28, 0, time.UTC), "satellite navigation"},
		{"white space around", "identity: the length is that of the message", "\r\n " + aml(goodAML) + "\n",
			at(45.52, -29.41), 50, 95, time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC), "satellite navigation"},
		{"a cell of the network", "method letter from memory", aml(strings.Replace(goodAML, "pm=G", "pm=C", 1)),
			at(45.52, -29.41), 50, 95, time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC), "mobile network cell"},
		{"fields that are not known", "identity", aml(goodAML + ";zz=" + handset),
			at(45.52, -29.41), 50, 95, time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC), "satellite navigation"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := position.Parse(c.text)
			require.NoError(t, err, c.source)
			assert.Equal(t, position.Parsed{Point: c.want, Format: position.AML, UncertaintyM: c.radiusM, ConfidencePct: c.pct,
				MeasuredAt: c.at, Method: c.method}, got)
		})
	}
}

// The published copies of one example that lost the sign of the longitude, or state a
// length that is not theirs, must not send help to the wrong side of the meridian.
func TestParseAMLHoldsTheMessageToItsLength(t *testing.T) {
	for name, text := range map[string]string{
		"sign lost":              `A"ML=1;lt=+54.76397;lg=0.18305;rd=50;top=20130717141935;lc=90;pm=W;si=123456789012345;ei=1234567890123456;mcc=234;mnc=30;ml=128`,
		"two too many":           `A"ML=1;lt=48.82639;lg=-2.36619;rd=52;top=20191112112928;lc=68;pm=G;si=208201771948415;ei=353472104343540;mcc=208;mnc=20;ml=128`,
		"quotation mark lost":    `AML=1;lt=+55.74297;lg=-4.26880;rd=10;top=20130717175329;lc=95;pm=G;si=234302543446355;ei=356708041746734;mcc=234;mnc=30;ml=127`,
		"quotation mark doubled": `A''ML=1;lt=+55.74297;lg=-4.26880;rd=10;top=20130717175329;lc=95;pm=G;si=234302543446355;ei=356708041746734;mcc=234;mnc=30;ml=127`,
	} {
		got, err := position.Parse(text)
		assert.Equal(t, position.Parsed{}, got, name)
		assert.ErrorContains(t, err, "some were lost or changed", name)
	}
	_, err := position.Parse(`A"ML=1;lt=+55.74297;lg=-4.26880;rd=10;top=20130717175329;lc=95;pm=G`)
	assert.ErrorContains(t, err, "its end may be lost")
}

// Every single character lost from a good message is noticed.
func TestParseAMLNoticesEveryLostCharacter(t *testing.T) {
	whole := aml(goodAML)
	for i := range whole {
		_, err := position.Parse(whole[:i] + whole[i+1:])
		if assert.Error(t, err, "without character %d", i) {
			checkRefusal(t, "", err)
		}
	}
}

func TestParseAMLRefusesAllAtOnceAndQuotesNothing(t *testing.T) {
	for _, c := range []struct {
		name, text string
		says       []string
	}{
		{"version 2", `A"ML=2;en=+15555555555;et=1593187189;lo=-37.42175,-122.08461,2000.1;lt=-9999;lc=68;ei=` + handset, []string{"only version 1"}},
		{"version missing", `A"ML=;` + person, []string{"only version 1"}},
		{"no position", aml("lt=+00.00000;lg=+000.00000;rd=N;top=20310314214000;lc=0;pm=N;" + person), []string{"found no position"}},
		{"everything", aml("lt=91;lg=" + handset + ";rd=-5;top=" + subscriber + ";lc=101;pm=" + handset + ";" + person),
			[]string{"lt, the latitude, is out of range", "lg, the longitude, is out of range", "rd, the radius in metres, is below 0",
				"lc, the confidence in percent, is out of range"}},
		{"time and method", aml("lt=1;lg=2;rd=5;top=" + subscriber + ";lc=68;pm=" + handset + ";" + person), []string{"top, the time of positioning", "pm, the method"}},
		{"month 13", aml("lt=1;lg=2;rd=5;top=20311314214000;lc=68;pm=G;" + person), []string{"top, the time of positioning"}},
		{"nothing but a person", aml(person), []string{"lt, the latitude, is missing", "lg, the longitude, is missing", "rd, the radius in metres, is missing"}},
		{"a person for a place", aml("lt=" + handset + "x;lg=si" + subscriber + ";rd=5;top=20310314214000;lc=68;pm=G"), []string{"not a plain number"}},
		{"exponent", aml("lt=4.5e1;lg=2;rd=5;top=20310314214000;lc=68;pm=G"), []string{"lt, the latitude, is not a plain number"}},
		{"decimal comma", aml("lt=45,5;lg=2;rd=5;top=20310314214000;lc=68;pm=G"), []string{"lt, the latitude, is not a plain number"}},
		{"twice", aml(goodAML + ";lg=+29.41000"), []string{"lg is given twice"}},
		{"radius beyond the Earth", aml(strings.Replace(goodAML, "rd=50", "rd=99999999", 1)), []string{"rd, the radius in metres, is out of range"}},
		{"digits without end", aml("lt=" + strings.Repeat("9", 300) + ";lg=2;rd=5;top=20310314214000;lc=68;pm=G"), []string{"lt"}},
		{"not UTF-8", `A"ML=1;` + "\xff", []string{"not valid UTF-8"}},
		{"100 MB", `A"ML=1;` + strings.Repeat("ei="+handset+";", 100<<20/20), []string{"longer than 65536 bytes"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := position.Parse(c.text)
			require.Error(t, err)
			assert.Equal(t, position.Parsed{}, got)
			for _, phrase := range c.says {
				assert.ErrorContains(t, err, phrase)
			}
			for _, secret := range []string{subscriber, handset, subscriber[:6], handset[:6], "15555555555"} {
				assert.NotContains(t, err.Error(), secret)
			}
		})
	}
	got, err := position.Parse(aml(strings.Replace(goodAML, "lt=+45.52000;lg=-29.41000", "lt=+0.00000;lg=-0.00000", 1)))
	require.NoError(t, err)
	assert.Contains(t, got.Note, "check it")
}

const presence = `<?xml version="1.0" encoding="UTF-8"?>
<presence xmlns="urn:ietf:params:xml:ns:pidf" xmlns:gp="urn:ietf:params:xml:ns:pidf:geopriv10" xmlns:gs="http://www.opengis.net/pidflo/1.0"
  xmlns:gml="http://www.opengis.net/gml" xmlns:dm="urn:ietf:params:xml:ns:pidf:data-model" xmlns:con="urn:ietf:params:xml:ns:geopriv:conf"
  xmlns:cl="urn:ietf:params:xml:ns:pidf:geopriv10:civicAddr" entity="pres:` + subscriber + `@telephone.invalid">
 <dm:device id="imei-` + handset + `"><gp:geopriv><gp:location-info>SHAPE</gp:location-info>
  <gp:usage-rules/><gp:method>GPS</gp:method></gp:geopriv><dm:deviceID>imei:` + handset + `</dm:deviceID>
  <dm:timestamp>2031-03-14T21:40:00Z</dm:timestamp></dm:device>
</presence>`

func pidflo(shape string) string { return strings.Replace(presence, "SHAPE", shape, 1) }

const (
	flat   = ` srsName="urn:ogc:def:crs:EPSG::4326"`
	solid  = ` srsName="urn:ogc:def:crs:EPSG::4979"`
	metre  = ` uom="urn:ogc:def:uom:EPSG::9001"`
	spaces = ` xmlns:gs="http://www.opengis.net/pidflo/1.0" xmlns:gml="http://www.opengis.net/gml"`
)

func circle(pos, radius string) string {
	return `<gs:Circle` + flat + `><gml:pos>` + pos + `</gml:pos><gs:radius` + metre + `>` + radius + `</gs:radius></gs:Circle>`
}

func TestParsePIDFLO(t *testing.T) {
	const rfc = "RFC 5491 section 5.2.3, read second hand"
	const shape = "shapes of RFC 5491 in published test documents, read second hand"
	for _, c := range []struct {
		name, source, text string
		want               orb.Point
		radiusM, pct       float64
		altitudeM          *float64
	}{
		{"circle alone", rfc, `<gs:Circle` + spaces + flat + `><gml:pos>42.5463 -73.2512</gml:pos><gs:radius uom="urn:ogc:def:uom:EPSG::9001">850.24</gs:radius></gs:Circle>`,
			at(42.5463, -73.2512), 850.24, 95, nil},
		{"circle in a presence", rfc + "; default confidence 95 %", pidflo(circle("42.5463 -73.2512", "850.24")), at(42.5463, -73.2512), 850.24, 95, nil},
		{"in a location response", "RFC 5985, from memory", `<locationResponse xmlns="urn:ietf:params:xml:ns:geopriv:held">` +
			strings.TrimPrefix(pidflo(circle("45.52 -29.41", "30")), `<?xml version="1.0" encoding="UTF-8"?>`) + `</locationResponse>`, at(45.52, -29.41), 30, 95, nil},
		{"with confidence", "RFC 7459, element read second hand", pidflo(circle("45.52 -29.41", "30") + `<con:confidence pdf="normal">67</con:confidence>`), at(45.52, -29.41), 30, 67, nil},
		{"confidence unknown", "RFC 7459, from memory", pidflo(circle("45.52 -29.41", "30") + `<con:confidence pdf="unknown">unknown</con:confidence>`), at(45.52, -29.41), 30, 0, nil},
		{"ellipse", shape + "; the circle around it", pidflo(`<gs:Ellipse` + flat + `><gml:pos>48.884 2.245</gml:pos><gs:semiMajorAxis` + metre + `>1600</gs:semiMajorAxis><gs:semiMinorAxis` + metre +
			`>1550</gs:semiMinorAxis><gs:orientation uom="urn:ogc:def:uom:EPSG::9102">142</gs:orientation></gs:Ellipse>`), at(48.884, 2.245), 1600, 95, nil},
		{"sphere", shape, pidflo(`<gs:Sphere` + solid + `><gml:pos>46.81 -100.78 500</gml:pos><gs:radius` + metre + `>50</gs:radius></gs:Sphere>`), at(46.81, -100.78), 50, 95, metres(500)},
		{"ellipsoid", shape, pidflo(`<gs:Ellipsoid` + solid + `><gml:pos>46.81 -100.78 500</gml:pos><gs:semiMajorAxis` + metre + `>200</gs:semiMajorAxis></gs:Ellipsoid>`), at(46.81, -100.78), 200, 95, metres(500)},
		{"one place twice", "identity: the larger radius", pidflo(circle("45.52 -29.41", "30") + circle("45.52 -29.41", "300")), at(45.52, -29.41), 300, 95, nil},
		{"beside a civic address", "identity", pidflo(`<cl:civicAddress><cl:country>XX</cl:country></cl:civicAddress>` + circle("45.52 -29.41", "30")), at(45.52, -29.41), 30, 95, nil},
		{"radius of nothing", "RFC 5870: 0 is never perfect", pidflo(circle("45.52 -29.41", "0")), at(45.52, -29.41), 0.001, 95, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := position.Parse(c.text)
			require.NoError(t, err, c.source)
			assert.Equal(t, position.Parsed{Point: c.want, Format: position.PIDFLO, UncertaintyM: c.radiusM, ConfidencePct: c.pct, AltitudeM: c.altitudeM}, got,
				"the position and nothing else")
		})
	}
}

func TestParsePIDFLOPointPolygonAndSector(t *testing.T) {
	point, err := position.Parse(pidflo(`<gml:Point` + flat + `><gml:pos>45.52 -29.41</gml:pos></gml:Point>`))
	require.NoError(t, err)
	typed, err := position.Parse("45.52, -29.41")
	require.NoError(t, err)
	assert.Equal(t, typed.Point, point.Point)
	assert.Equal(t, typed.UncertaintyM, point.UncertaintyM, "a point says no more than its digits")
	assert.Zero(t, point.ConfidencePct)

	// A square of 0.002 degrees: the middle is known, and the corners are at half of
	// the diagonal.
	const corners = "45.519 -29.411 45.521 -29.411 45.521 -29.409 45.519 -29.409 45.519 -29.411"
	square := `<gml:Polygon` + flat + `><gml:exterior><gml:LinearRing><gml:posList>` + corners + `</gml:posList></gml:LinearRing></gml:exterior></gml:Polygon>`
	got, err := position.Parse(pidflo(square))
	require.NoError(t, err)
	const toleranceM = 0.01 // a square in degrees is not quite one in metres
	assert.Less(t, geo.Distance(at(45.52, -29.41), got.Point), toleranceM)
	assert.InDelta(t, geo.Distance(at(45.519, -29.411), at(45.521, -29.409))/2, got.UncertaintyM, toleranceM)

	across := strings.NewReplacer("-29.411", "179.999", "-29.409", "-179.999").Replace(square)
	got, err = position.Parse(pidflo(across))
	require.NoError(t, err)
	assert.InDelta(t, 180, math.Abs(got.Point.Lon()), 1e-9, "degrees, across the antimeridian")

	sector := `<gs:ArcBand` + flat + `><gml:pos>45.52 -29.41</gml:pos><gs:innerRadius` + metre + `>100</gs:innerRadius><gs:outerRadius` + metre + `>3000</gs:outerRadius></gs:ArcBand>`
	got, err = position.Parse(pidflo(sector))
	require.NoError(t, err)
	assert.Equal(t, 3000.0, got.UncertaintyM, "the whole circle of the antenna")
	assert.Contains(t, got.Note, "antenna")
}

func TestParsePIDFLORefuses(t *testing.T) {
	for _, c := range []struct{ name, text, says string }{
		{"longitude first", pidflo(circle("-129.41 45.52", "30")), "swapped"},
		{"short name of the system", pidflo(strings.Replace(circle("45.52 -29.41", "30"), "urn:ogc:def:crs:EPSG::4326", "EPSG:4326", 1)), "reference system other than urn:ogc:def:crs:EPSG::4326"},
		{"longitude-first system", pidflo(strings.Replace(circle("45.52 -29.41", "30"), "urn:ogc:def:crs:EPSG::4326", "urn:ogc:def:crs:OGC:1.3:CRS84", 1)), "reference system other"},
		{"British grid", pidflo(strings.Replace(circle("45.52 -29.41", "30"), "4326", "27700", 1)), "reference system other"},
		{"no system", pidflo(strings.Replace(circle("45.52 -29.41", "30"), flat, "", 1)), "names no reference system"},
		{"radius in kilometres", pidflo(strings.Replace(circle("45.52 -29.41", "30"), "9001", "9036", 1)), "not marked as metres"},
		{"radius without unit", pidflo(strings.Replace(circle("45.52 -29.41", "30"), metre, "", 1)), "not marked as metres"},
		{"no radius", pidflo(`<gs:Circle` + flat + `><gml:pos>45.52 -29.41</gml:pos></gs:Circle>`), "has no radius"},
		{"negative radius", pidflo(circle("45.52 -29.41", "-30")), "not a plain decimal number of 0 or more"},
		{"huge radius", pidflo(circle("45.52 -29.41", "1"+strings.Repeat("0", 30))), "half the way around"},
		{"words", pidflo(circle("here there", "30")), "number 1 in the pos"},
		{"exponent", pidflo(circle("4.552e1 -29.41", "30")), "number 1 in the pos"},
		{"NaN", pidflo(circle("NaN NaN", "30")), "number 1 in the pos"},
		{"one number", pidflo(circle("45.52", "30")), "has 1 numbers and its reference system 2"},
		{"height in a flat system", pidflo(circle("45.52 -29.41 12", "30")), "has 3 numbers and its reference system 2"},
		{"two places", pidflo(circle("45.52 -29.41", "30") + circle("45.53 -29.41", "30")), "several different positions"},
		{"only an address", pidflo(`<cl:civicAddress><cl:country>XX</cl:country></cl:civicAddress>`), "neither a PIDF-LO location with coordinates"},
		{"shape outside of the location", strings.Replace(pidflo(""), "<gp:usage-rules/>", circle("45.52 -29.41", "30"), 1), "neither a PIDF-LO location with coordinates"},
		{"prism", pidflo(`<gs:Prism` + solid + `/>`), "this shape of a PIDF-LO location is not read"},
		{"open ring", pidflo(`<gml:Polygon` + flat + `><gml:exterior><gml:LinearRing><gml:posList>1 1 1 2 2 2 2 1</gml:posList></gml:LinearRing></gml:exterior></gml:Polygon>`), "not closed"},
		{"half the Earth", pidflo(`<gml:Polygon` + flat + `><gml:exterior><gml:LinearRing><gml:posList>0 0 0 120 0 -120 0 0</gml:posList></gml:LinearRing></gml:exterior></gml:Polygon>`), "large part of the Earth"},
		{"another document", `<gpx><wpt lat="45.52" lon="-29.41"/></gpx>`, "neither a PIDF-LO"},
		{"namespaces left out", `<presence><location-info><Circle/></location-info></presence>`, "neither a PIDF-LO"},
		{"cut short", pidflo(circle("45.52 -29.41", "30"))[:700], "not well-formed"},
		{"billion laughs", `<!DOCTYPE l [<!ENTITY a "` + handset + `"><!ENTITY b "&a;&a;&a;&a;&a;&a;">]><l>&b;</l>`, "document type declaration"},
		{"nested junk", strings.Repeat("<a>", 10_000), "nested more than"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := position.Parse(c.text)
			require.Error(t, err)
			assert.Equal(t, position.Parsed{}, got)
			assert.ErrorContains(t, err, c.says)
			checkRefusal(t, "", err)
			assert.NotContains(t, err.Error(), subscriber)
			assert.NotContains(t, err.Error(), handset)
		})
	}
}

func TestParseCAPCircle(t *testing.T) {
	alert := func(status, circles string) string {
		return `<alert xmlns="urn:oasis:names:tc:emergency:cap:1.2"><identifier>x</identifier><status>` + status + `</status><info><area>` + circles + `</area></info></alert>`
	}
	const published = "<circle>32.9525,-115.5527 0</circle>"
	for _, c := range []struct {
		name, source, text string
		want               orb.Point
		radiusM            float64
		note               string
	}{
		{"example", "CAP 1.2, page 42, read second hand", published, at(32.9525, -115.5527), 0.001, ""},
		{"in an alert", "the same", alert("Actual", published), at(32.9525, -115.5527), 0.001, ""},
		{"kilometres", "CAP 1.2, unit from memory", alert("Actual", "<circle>45.52,-29.41 1.5</circle>"), at(45.52, -29.41), 1500, ""},
		{"exercise", "identity", alert("Exercise", "<circle>45.52,-29.41 1.5</circle>"), at(45.52, -29.41), 1500, "exercise"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := position.Parse(c.text)
			require.NoError(t, err, c.source)
			assert.Equal(t, c.want, got.Point)
			assert.Equal(t, position.CAPCircle, got.Format)
			assert.Equal(t, c.radiusM, got.UncertaintyM)
			assert.Contains(t, got.Note, c.note)
			assert.Equal(t, c.note == "", got.Note == "")
		})
	}
	for text, says := range map[string]string{
		alert("Actual", ""):                                "0 circles",
		alert("Actual", published+published):               "2 circles",
		"<circle>32.9525 -115.5527 0</circle>":             "not 3 parts",
		"<circle>32.9525,-115.5527</circle>":               "not 1 parts",
		"<circle>-115.5527,32.9525 0</circle>":             "swapped",
		"<circle>x,y 0</circle>":                           "plain decimals",
		"<circle>1,2 -1</circle>":                          "plain decimal number of 0 or more",
		"<circle>1,2 21000</circle>":                       "half the way around",
		`<circle xmlns="urn:example:other">1,2 1</circle>`: "nor a CAP circle",
	} {
		_, err := position.Parse(text)
		assert.ErrorContains(t, err, says, text)
	}
}

func TestAnonymousKeepsThePlaceAndNothingElse(t *testing.T) {
	sphere := `<gs:Sphere` + solid + `><gml:pos>45.52 -29.41 12.5</gml:pos><gs:radius` + metre + `>50</gs:radius></gs:Sphere>`
	sector := `<gs:ArcBand` + flat + `><gml:pos>45.52 -29.41</gml:pos><gs:outerRadius` + metre + `>3000</gs:outerRadius></gs:ArcBand>`
	for name, text := range map[string]string{
		"AML": aml(goodAML), "AML by Wi-Fi": aml(strings.Replace(goodAML, "pm=G", "pm=W", 1)), "circle": pidflo(circle("45.52 -29.41", "50")), "sphere": pidflo(sphere),
		"confidence": pidflo(circle("45.52 -29.41", "50") + `<con:confidence>67.5</con:confidence>`), "point": pidflo(`<gml:Point` + flat + `><gml:pos>45.52 -29.41</gml:pos></gml:Point>`),
		"sector": pidflo(sector),
	} {
		whole, err := position.Parse(text)
		require.NoError(t, err, name)
		kept, err := position.Anonymous(text)
		require.NoError(t, err, name)
		again, err := position.Parse(kept)
		require.NoError(t, err, "%s: %s", name, kept)
		assert.Equal(t, whole, again, name+": a replay asks the same")
		twice, err := position.Anonymous(kept)
		require.NoError(t, err, name)
		assert.Equal(t, kept, twice, name)
		for _, secret := range []string{subscriber, handset, "234", "invalid", "GPS", "imei"} {
			assert.NotContains(t, kept, secret, name)
		}
	}
	kept, err := position.Anonymous(aml(goodAML))
	require.NoError(t, err)
	assert.Equal(t, `A"ML=1;lt=45.52;lg=-29.41;rd=50;top=20310314214000;lc=95;pm=G;ml=67`, kept, "identity: 67 characters by hand")
	kept, err = position.Anonymous("<circle>45.52,-29.41 1.5</circle>")
	require.NoError(t, err)
	assert.Equal(t, "geo:45.52,-29.41;u=1500", kept)
	kept, err = position.Anonymous("45 31.2N 029 24.6W")
	require.NoError(t, err)
	assert.Equal(t, "45 31.2N 029 24.6W", kept, "what a person wrote is kept as it is")
	_, err = position.Anonymous("at " + handset)
	assert.Error(t, err)
}

// A geo URI is the same place and radius when it is read again.
func TestFormatGeoURIReadsBack(t *testing.T) {
	for _, text := range []string{aml(goodAML), pidflo(circle("-89.999999999 179.999999999", "0.25")), "<circle>0.0000001,-0.0000001 20015</circle>", "geo:90,0,-12.5;u=3",
		pidflo(`<gs:Sphere` + solid + `><gml:pos>46.81 -100.78 500.25</gml:pos><gs:radius` + metre + `>50</gs:radius></gs:Sphere>`)} {
		first, err := position.Parse(text)
		require.NoError(t, err)
		again, err := position.Parse(position.FormatGeoURI(first))
		require.NoError(t, err)
		assert.Equal(t, first.Point, again.Point)
		assert.Equal(t, first.UncertaintyM, again.UncertaintyM)
		assert.Equal(t, first.AltitudeM, again.AltitudeM)
	}
}

func TestMessagesInBoundedMemory(t *testing.T) {
	for name, text := range map[string]string{
		"fields":   `A"ML=1;` + strings.Repeat("lt=1;", 64<<10/5-3),
		"elements": strings.Repeat("<a>", 64<<10/3),
		"100 MB":   "<" + strings.Repeat("a", 100<<20),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := position.Parse(text)
		runtime.ReadMemStats(&after)
		assert.Error(t, err, name)
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(4<<20), name)
		assert.Less(t, len(err.Error()), 2000, name)
	}
}
