package api_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hostile are bodies that must be refused, each with the status and a piece of
// what must be said. Source: RFC 8259 and RFC 7493 for what is JSON; the rest
// is the definition of the question.
var hostile = []struct {
	name, body string
	status     int
	says       string
}{
	{"huge longitude", `{"scene":{"position":[1e308,45.52]}}`, 422, "longitude 1e+308 is outside"},
	{"beyond float64", `{"scene":{"position":[1e999,45.52]}}`, 400, "outside the range of numbers"},
	{"NaN", `{"scene":{"position":[NaN,45.52]}}`, 400, "NaN"},
	{"Infinity", `{"scene":{"position":[-Infinity,45.52]}}`, 400, "Infinity"},
	{"NaN as text", `{"scene":{"position":["NaN",45.52]}}`, 422, "must be a number"},
	{"swapped", `{"scene":{"position":[45.52,-129.41]}}`, 422, "the order may be swapped"},
	{"one number", `{"scene":{"position":[45.52]}}`, 422, "at least 2"},
	{"altitude", `{"scene":{"position":[-29.41,45.52,10]}}`, 422, "at most 2"},
	{"null", `{"scene":{"position":null}}`, 422, "got null"},
	{"a list", `[]`, 422, "must be an object"},
	{"a word", `"scene"`, 422, "must be an object"},
	{"two documents", someWhere + someWhere, 400, "goes on after its end"},
	{"deep", `{"scene":` + strings.Repeat(`[`, 100_000) + strings.Repeat(`]`, 100_000) + `}`, 400, "nested more than 16 deep"},
	{"deep and cut", strings.Repeat(`{"scene":`, 20_000), 400, "nested more than 16 deep"},
	{"twice", `{"scene":{"position":[-29.41,45.52],"position":[0,0]}}`, 400, "given twice"},
	{"capitals", `{"Scene":{"position":[-29.41,45.52]}}`, 422, `did you mean \"scene\"?`},
	{"misspelt", `{"scene":{"position":[-29.41,45.52],"uncertanty_m":50}}`, 422, `did you mean \"uncertainty_m\"?`},
	{"year 1", `{"at":"0001-01-01T00:00:00Z","scene":{"position":[-29.41,45.52]}}`, 422, "year 1 is not between 1970 and 2200"},
	{"year 9999", `{"at":"9999-12-31T23:59:59Z","scene":{"position":[-29.41,45.52]}}`, 422, "year 9999 is not between"},
	{"year 10000", `{"at":"10000-01-01T00:00:00Z","scene":{"position":[-29.41,45.52]}}`, 422, "must be a date and time"},
	{"no zone", `{"at":"2031-03-14T21:40:00","scene":{"position":[-29.41,45.52]}}`, 422, "must be a date and time"},
	{"free in year 9999", `{"scene":{"position":[-29.41,45.52]},"assets":{"states":[{"asset":"heli-1","state":"committed","free_at":"9999-01-01T00:00:00Z"}]}}`, 422, "year 9999"},
	{"negative age", `{"scene":{"position":[-29.41,45.52]},"patient":{"age_years":-1}}`, 422, "at least 0"},
	{"age of a mountain", `{"scene":{"position":[-29.41,45.52]},"patient":{"age_years":1e308}}`, 422, "at most 130"},
	{"slow before typical", `{"scene":{"position":[-29.41,45.52],"carry":{"typical_s":9,"slow_s":3}}}`, 422, "is less than typical_s"},
	{"endless", `{"scene":{"position":[-29.41,45.52],"carry":{"typical_s":1e300,"slow_s":1e300}}}`, 422, "at most 172800"},
	{"half a duration", `{"scene":{"position":[-29.41,45.52],"carry":{"typical_s":1}}}`, 422, `missing field \"slow_s\"`},
	{"uncertain beyond the world", `{"scene":{"position":[-29.41,45.52],"uncertainty_m":1e9}}`, 422, "at most 100000"},
	{"no options wanted", `{"scene":{"position":[-29.41,45.52]},"limit":0}`, 422, "at least 1"},
	{"a target that is past", `{"scene":{"position":[-29.41,45.52]},"target_s":0}`, 422, "at least 1"},
	{"a target without end", `{"scene":{"position":[-29.41,45.52]},"target_s":1e300}`, 422, "at most 172800"},
	{"a target in words", `{"scene":{"position":[-29.41,45.52]},"target_s":"an hour"}`, 422, "must be a number"},
	{"half an option", `{"scene":{"position":[-29.41,45.52]},"limit":1.5}`, 422, "whole number"},
	{"both places", `{"scene":{"position":[-29.41,45.52],"position_text":"45.52, -29.41"}}`, 422, "exclude each other"},
	{"all three places", `{"scene":{"position":[-29.41,45.52],"position_text":"45.52, -29.41","facility":"quorreth-hospital"}}`, 422, "exclude each other"},
	{"no place", `{"scene":{"landing":"possible"}}`, 422, "missing field"},
	{"a name", `{"scene":{"position":[-29.41,45.52]},"patient":{"name":"somebody"}}`, 422, `unknown field \"name\"`},
	{"half a wind", conditions(`"wind":{"from_deg":240}`), 422, `missing field \"speed_kt\"`},
	{"a wind round the compass", conditions(`"wind":{"from_deg":361,"speed_kt":18}`), 422, "at most 360"},
	{"a wind from nowhere", conditions(`"wind":{"from_deg":NaN,"speed_kt":18}`), 400, "NaN"},
	{"a wind beyond every storm", conditions(`"wind":{"from_deg":240,"speed_kt":1e308}`), 422, "at most 388"},
	{"a wind that sucks", conditions(`"wind":{"from_deg":240,"speed_kt":-1}`), 422, "at least 0"},
	{"a gust below the wind", conditions(`"wind":{"from_deg":240,"speed_kt":18,"gust_kt":10}`), 422, "gust_kt 10 is less than speed_kt 18"},
	{"no wind", conditions(`"wind":null`), 422, "got null"},
	{"a ceiling underground", conditions(`"ceiling_ft":-1`), 422, "at least 0"},
	{"a ceiling in space", conditions(`"ceiling_ft":1e9`), 422, "at most 100000"},
	{"a visibility in words", conditions(`"visibility_m":"good"`), 422, "must be a number"},
	{"a report of nothing", conditions(`"reports":[""]`), 422, "must not be empty"},
	{"a report in prose", conditions(`"reports":["lovely weather over the strait"]`), 422, "/conditions/reports/0"},
	{"a report from elsewhere", conditions(`"reports":["METAR QQOV 142120Z 24018KT 9999 FEW040 09/07 Q0991","METAR QQXX 142120Z 24018KT 9999 FEW040 09/07 Q0991"]`), 422, "/conditions/reports/1"},
	{"a report with control characters", conditions(`"reports":["METAR\u0000QQOV\u001b[2J"]`), 422, "/conditions/reports/0"},
	{"a long report", conditions(`"reports":["METAR QQOV ` + strings.Repeat("9", 2000) + `"]`), 422, "at most 2000 characters"},
	{"many reports", conditions(`"reports":[` + strings.Repeat(`"x",`, 9_999) + `"x"]`), 422, "at most 50 items"},
	{"weather misspelt", conditions(`"visibilty_m":5000`), 422, `did you mean \"visibility_m\"?`},
	{"carried both ways", `{"scene":{"position":[-29.41,45.52],"carry":{"typical_s":60,"slow_s":90,"distance_m":100}}}`, 422, `unknown field \"distance_m\"`},
	{"carried across the sea", `{"scene":{"position":[-29.41,45.52],"carry":{"distance_m":1e6}}}`, 422, "at most 20000"},
	{"carried in words", `{"scene":{"position":[-29.41,45.52],"carry":{"distance_m":"far"}}}`, 422, "must be a number"},
	{"carried backwards", `{"scene":{"position":[-29.41,45.52],"carry":{"distance_m":-1}}}`, 422, "at least 0"},
	{"winch in words", `{"scene":{"position":[-29.41,45.52],"winch":"yes"}}`, 422, "must be true or false"},
	{"stop quicker when slow", `{"scene":{"position":[-29.41,45.52]},"patient":{"stop":{"typical_s":9,"slow_s":3}}}`, 422, "is less than typical_s"},
	{"less than no fuel", `{"scene":{"position":[-29.41,45.52]},"assets":{"states":[{"asset":"heli-1","state":"at_base","fuel_s":-1}]}}`, 422, "at least 0"},
	{"fuel for ever", `{"scene":{"position":[-29.41,45.52]},"assets":{"states":[{"asset":"heli-1","state":"at_base","fuel_s":172800}]}}`, 422, "/assets/states/0/fuel_s"},
	{"an aeroplane that stands", `{"scene":{"position":[-29.41,45.52]},"assets":{"add":[{"id":"x","name":"X","kind":"aeroplane","position":[0,0],"cruise_kt":0}]}}`, 422, "cruise_kt"},
	{"many needs", `{"scene":{"position":[-29.41,45.52]},"patient":{"needs":[` + strings.Repeat(`"ecmo",`, 9_999) + `"ecmo"]}}`, 422, "at most 20 items"},
	{"many states", `{"scene":{"position":[-29.41,45.52]},"assets":{"states":[` + strings.Repeat(`{},`, 9_999) + `{}]}}`, 422, "errors has the first 50"},
	{"many assets added", `{"scene":{"position":[-29.41,45.52]},"assets":{"add":[` + strings.Repeat(`{"id":"x"},`, 6_000) + `{}]}}`, 422, "errors has the first 50"},
	{"many of one asset", `{"scene":{"position":[-29.41,45.52]},"assets":{"only":[` + strings.Repeat(`"heli-9",`, 999) + `"heli-9"]}}`, 422, "errors has the first 50"},
	{"many numbers", `{"scene":{"position":[` + strings.Repeat(`1,`, 9_999) + `1]}}`, 422, "at most 2 items"},
	{"many values", `{"scene":{"position":[` + strings.Repeat(`1,`, 30_000) + `1]}}`, 400, "holds more than 20,000 values"},
	{"many unknown", `{` + manyFields(9_000) + `"scene":{"position":[-29.41,45.52]}}`, 422, "errors has the first 50"},
	{"long name", `{"` + strings.Repeat("a", 10_000) + `":1}`, 400, "a field name has"},
	{"long text", `{"scene":{"position_text":"` + strings.Repeat("4", 10_000) + `"}}`, 422, "longer than 200 characters"},
	{"longer text", `{"scene":{"position_text":"` + strings.Repeat("4", 65_537) + `"}}`, 422, "at most 65536 characters"},
	{"control characters", `{"scene":{"position_text":"45.52\u0000, -29.41"}}`, 422, "U+0000"},
	{"half a character", "{\"scene\":{\"position_text\":\"\xff\"}}", 400, "not valid UTF-8"},
	{"byte order mark", "\xef\xbb\xbf" + someWhere, 400, "byte order mark"},
	{"comment", `{"scene":{"position":[-29.41,45.52]} /* here */}`, 400, "comments are not allowed"},
	{"the same state twice", `{"scene":{"position":[-29.41,45.52]},"assets":{"states":[{"asset":"heli-1","state":"at_base"},{"asset":"heli-1","state":"at_scene"}]}}`, 422, "given twice"},
	{"an asset that is there", `{"scene":{"position":[-29.41,45.52]},"assets":{"add":[{"id":"heli-1","name":"H","kind":"helicopter","position":[0,0]}]}}`, 422, "there is already an asset"},
	{"an asset from nowhere", `{"scene":{"position":[-29.41,45.52]},"assets":{"add":[{"id":"x","name":"X","kind":"ambulance","base":"nowhere"}]}}`, 422, "no facility"},
	{"an endless road", `{"scene":{"position":[-29.41,45.52]},"assets":{"add":[{"id":"x","name":"X","kind":"ambulance","position":[0,0],"road":{"cruise_kmh":1e308}}]}}`, 422, "at most"},
	{"a helicopter that stands", `{"scene":{"position":[-29.41,45.52]},"assets":{"add":[{"id":"x","name":"X","kind":"helicopter","position":[0,0],"cruise_kt":0}]}}`, 422, "cruise_kt"},
}

// conditions is a question with the given members in its conditions.
func conditions(members string) string {
	return `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52]},"conditions":{` + members + `}}`
}

func manyFields(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `"f%d":1,`, i)
	}
	return b.String()
}

func TestHostileBodies(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	for _, tt := range hostile {
		t.Run(tt.name, func(t *testing.T) {
			w := post(h, tt.body)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			assert.Contains(t, w.Body.String(), tt.says)
			assert.Less(t, w.Body.Len(), 64<<10, "an answer out of proportion")
			strict.check(t, http.MethodPost, "/v1/options", w)
		})
	}
}

func TestHostileQueries(t *testing.T) {
	const scene = "scene=45.52,-29.41"
	tests := []struct {
		name, query string
		status      int
		says        string
	}{
		{"unknown", scene + "&lmit=3", 400, "did you mean limit?"},
		{"unknown and far", scene + "&colour=red", 400, "or use one of scene, facility"},
		{"twice", scene + "&" + scene, 400, "given more than once"},
		{"twice a list", scene + "&needs=ecmo&needs=burns", 400, "by commas"},
		{"NaN", scene + "&age_years=NaN", 400, "plain number"},
		{"hexadecimal", scene + "&age_years=0x10", 400, "plain number"},
		{"huge", scene + "&uncertainty_m=1e308", 400, "plain number"},
		{"out of range", scene + "&limit=0", 400, "at least 1"},
		{"fraction", scene + "&limit=1.5", 400, "whole number"},
		{"empty scene", "scene=", 400, "must not be empty"},
		{"no scene", "landing=possible", 400, "missing: give scene"},
		{"both", scene + "&facility=quorreth-hospital", 400, "exclude each other"},
		{"out of range latitude", "scene=95,-29.41", 400, "latitude 95"},
		{"landing", scene + "&landing=maybe", 400, "must be one of"},
		{"year 9999", scene + "&at=9999-01-01T00:00:00Z", 400, "year 9999"},
		{"need of another form", scene + "&needs=Surgery!", 400, "must look like"},
		{"half a wind", scene + "&wind_from_deg=240", 400, "a wind has wind_from_deg and wind_speed_kt"},
		{"the other half", scene + "&wind_speed_kt=18", 400, "a wind has wind_from_deg and wind_speed_kt"},
		{"wind round the compass", scene + "&wind_from_deg=400&wind_speed_kt=18", 400, "at most 360"},
		{"wind in words", scene + "&wind_from_deg=west&wind_speed_kt=18", 400, "plain number"},
		{"ceiling underground", scene + "&ceiling_ft=-5", 400, "at least 0"},
		{"winch in words", scene + "&winch=yes", 400, "must be true or false"},
		{"empty report", scene + "&report=", 400, "must not be empty"},
		{"report in prose", scene + "&report=lovely+weather", 422, `"parameter":"report"`},
		{"many reports", scene + strings.Repeat("&report=x", 51), 400, "at most 50"},
		{"semicolon", scene + ";limit=3", 400, "cannot be read"},
		{"unknown asset", scene + "&only=heli-77", 422, "no asset"},
		{"unknown need", scene + "&needs=ecmoo", 422, `did you mean \"ecmo\"?`},
		{"unknown facility", "facility=nowhere", 422, "no facility"},
		{"many", scene + strings.Repeat("&a=1", 500), 400, "unknown parameter"},
		{"many names", scene + manyParameters(500), 400, "480 more unknown parameters"},
		{"control characters", scene + "&%00%1b=1", 400, "unknown parameter"},
	}
	h := handler(t)
	strict := served(t, h, true)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := get(h, "/v1/options?"+tt.query)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			assert.Contains(t, w.Body.String(), tt.says)
			strict.check(t, http.MethodGet, "/v1/options", w)
		})
	}
}

func manyParameters(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "&p%03d=1", i)
	}
	return b.String()
}

// TestAllFaultsAtOnce has one fault of each sort that is found in another
// place: by the schema, by the decoder and against the region.
func TestAllFaultsAtOnce(t *testing.T) {
	w := post(handler(t), `{
		"at": "1066-10-14T09:00:00Z",
		"scene": {"position": [-29.41, 95], "landig": "possible", "carry": {"typical_s": 9, "slow_s": 3}},
		"patient": {"needs": ["ecmoo"], "age_years": "34"},
		"assets": {"only": ["heli-11"], "states": [{"asset": "amb-999", "state": "moving"}]},
		"limit": 0
	}`)
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	var pointers []string
	for _, e := range object(t, w.Body.Bytes())["errors"].([]any) {
		pointers = append(pointers, e.(map[string]any)["pointer"].(string))
	}
	assert.Equal(t, []string{
		"#/assets/only/0", "#/assets/states/0/asset", "#/assets/states/0/position", "#/at", "#/limit",
		"#/patient/age_years", "#/patient/needs/0", "#/scene/carry/slow_s", "#/scene/landig", "#/scene/position",
	}, pointers)
}

// TestPointersAreFragments: RFC 6901, section 6, and its own examples.
func TestPointersAreFragments(t *testing.T) {
	w := post(handler(t), `{"scene":{"position":[-29.41,45.52]},"a/b":1,"m~n":1,"c%d":1,"e^f":1,"g|h":1,"i\\j":1,"k\"l":1," ":1}`)
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	var pointers []string
	for _, e := range object(t, w.Body.Bytes())["errors"].([]any) {
		pointer := e.(map[string]any)["pointer"].(string)
		pointers = append(pointers, pointer)
		_, err := url.Parse(pointer)
		assert.NoError(t, err)
	}
	assert.ElementsMatch(t, []string{"#/a~1b", "#/c%25d", "#/e%5Ef", "#/g%7Ch", "#/i%5Cj", "#/k%22l", "#/%20", "#/m~0n"}, pointers)
}
