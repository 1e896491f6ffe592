package position_test

import (
	"errors"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo/position"
)

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		says []string
	}{
		// Nothing there.
		{"", []string{"empty", "write it like"}},
		{" \t\n ", []string{"empty"}},
		{"harbour", []string{`"HARBOUR"`, "write it like"}},
		{"N W", []string{"no number"}},
		{",", []string{"no number"}},
		{strings.Repeat("4", 201), []string{"longer than 200 characters"}},
		{strings.Repeat("4", 1_000_000), []string{"longer than 200 characters"}},
		{strings.Repeat("4", 200), []string{"one angle"}},

		// Hidden or foreign characters.
		{"45.52\n-29.41", []string{"hidden character U+000A"}},
		{"45.52\x00-29.41", []string{"hidden character U+0000"}},
		{"45.52,\u200e-29.41", []string{"hidden character U+200E"}},
		{"\x1b[31m45.52,-29.41", []string{"hidden character U+001B"}},
		{"45.52,\xff-29.41", []string{"not valid UTF-8"}},
		{"٤٥.٥٢ ٢٩.٤١", []string{"not part of a position"}},

		// Numbers.
		{"NaN, 5", []string{`"NAN,"`, "not part of a position"}},
		{"Inf -29.41", []string{`"INF"`}},
		{"4.552e1 -29.41", []string{"may be an exponent", "write all digits out"}},
		{"45.52 -2.941e+1", []string{"sign stands in the middle"}},
		{"4.5e1N 3E", []string{"may be an exponent"}},
		{"45. -29.41", []string{`"45." is not a number`, "both sides"}},
		{".52 -29.41", []string{"not part of a position"}},
		{"45.52.1 -29.41", []string{"not a number"}},
		{"0x2d -29", []string{"not part of a position"}},

		// Commas.
		{"45,52 29,41", []string{"may be a decimal comma", "write a decimal point"}},
		{"45,52", []string{"may be a decimal comma"}},
		{"45,52N 29,41W", []string{"may be a decimal comma"}},
		{"45°31,2'N 29°24,6'W", []string{"may be a decimal comma"}},
		{"45.52,-29.41,100", []string{"2 commas"}},
		{"+48,8577+002,295/", []string{"decimal comma is not accepted"}},

		// One angle, or too many.
		{"45.52", []string{"one angle", "a position needs two"}},
		{"55 45 00 N", []string{"one angle"}},
		{"45 31 29", []string{"3 angles or numbers", "not clear which is which"}},
		{"45 31.2 29 24.6", []string{"4 angles or numbers"}},
		{"45.52N 29.41W 12", []string{"3 angles"}},
		{"45.52-29.41", []string{"sign stands in the middle"}},

		// Hemispheres.
		{"45 31.2, 29 24.6", []string{"hemispheres are missing", "45 31.2N 029 24.6W"}},
		{"40d44'55\" 73d59'11\"", []string{"hemispheres are missing"}},
		{"45.52N 29.41S", []string{"both angles are latitudes"}},
		{"45.52E 29.41W", []string{"both angles are longitudes"}},
		{"-45.52N 29.41W", []string{"both a sign and the letter N"}},
		{"45.52N -29.41W", []string{"both a sign and the letter W"}},
		{"45.52N -29.41", []string{"only one angle has a hemisphere letter"}},
		{"N45.52 29.41W", []string{"has decimals, and another number after it"}},
		{"N45 W", []string{"second angle has no number"}},
		{"45.52N W29.41", []string{"3 angles"}},
		{"44d40m55s 73d59m11sW", []string{"seconds or south"}},

		// Minutes and seconds.
		{"45 60N 29 24W", []string{"minutes 60 of the first angle are not below 60"}},
		{"45 31.2N 29 75W", []string{"minutes 75 of the second angle"}},
		{"45 31 60.0N 29 24 36W", []string{"seconds 60.0 of the first angle"}},
		{"+4560-02924/", []string{"minutes 60 of the latitude"}},
		{"45.5 31N 29 24W", []string{"has decimals, and another number after it"}},
		{"45 -31N 29 24W", []string{"sign stands before the minutes"}},
		{"45 31N 29 24 36W", []string{"one angle has 2 numbers and the other 3"}},
		{"45'31N 29'24W", []string{"out of place"}},
		{"45 31 12 50N 29 24 36 50W", []string{"out of place"}},
		{"4531.2N 02924.6W", []string{"more than three digits", "put a space"}},

		// Range.
		{"95.52 -29.41", []string{"latitude 95.52 is outside -90 to 90", "swapped"}},
		{"-129.41 45.52", []string{"latitude -129.41", "swapped", "latitude first"}},
		{"90 00.1N 29 24W", []string{"latitude 90 00.1N is outside", "swapped"}},
		{"45.52 -180.1", []string{"longitude -180.1 is outside -180 to 180"}},
		{"95 200", []string{"latitude 95", "longitude 200"}},
		{"geo:95,200", []string{"latitude 95", "longitude 200"}},
		{"+45.52-181.00/", []string{"longitude -181.00"}},

		// geo URIs, RFC 5870.
		{"geo:45.52", []string{"latitude, longitude and perhaps altitude"}},
		{"geo:45.52,-29.41,1,2", []string{"not 4 numbers"}},
		{"geo:+45.52,-29.41", []string{"without plus sign or exponent"}},
		{"geo:4.5e1,-29.41", []string{"without plus sign or exponent"}},
		{"geo:45.,-29.41", []string{"plain decimal"}},
		{"geo:45.52, -29.41", []string{"no spaces"}},
		{"geo:45.52,-29.41?z=11", []string{"no question mark"}},
		{"geo:45.52,-29.41;crs=nad27", []string{`coordinate system "nad27" is not known`, "WGS 84"}},
		{"geo:45.52,-29.41;crs", []string{"coordinate system"}},
		{"geo:45.52,-29.41;u=40;crs=wgs84", []string{"crs is out of order"}},
		{"geo:45.52,-29.41;a=1;u=40", []string{"u is out of order"}},
		{"geo:45.52,-29.41;u=40;u=41", []string{`"u" is given twice`}},
		{"geo:45.52,-29.41;crs=wgs84;crs=wgs84", []string{`"crs" is given twice`}},
		{"geo:45.52,-29.41;u=-40", []string{"not a plain decimal number of metres"}},
		{"geo:45.52,-29.41;u=4e1", []string{"not a plain decimal number of metres"}},
		{"geo:45.52,-29.41;u", []string{"not a plain decimal number of metres"}},
		{"geo:45.52,-29.41;u=99999999", []string{"half the way around the Earth"}},
		{"geo:45.52,-29.41;", []string{"not a parameter"}},
		{"geo:45.52,-29.41;a=%zz", []string{"not a parameter"}},
		{"geo:45.52,-29.41,99999999999", []string{"altitude 99999999999 is outside"}},

		// ISO 6709.
		{"+45.52-029.41", []string{"ends with a solidus", "lost its end"}},
		{"+45.52-29.41/", []string{"longitude -29.41 does not have 3, 5 or 7 digits"}},
		{"+4.5-029.41/", []string{"latitude 4.5 does not have 2, 4 or 6 digits"}},
		{"+45.52-029.41+100CRSNAD27/", []string{"CRSNAD27"}},
		{"+45.52-029.41+100x/", []string{"cannot be read"}},
		{"+45.52-029.41-200000/", []string{"altitude -200000 is outside"}},

		// Grids.
		{"38S 444500 3688500", []string{"southern hemisphere or the northern latitude band S", "write 38 north or 38 south"}},
		{"444500 3688500 38s", []string{"southern hemisphere or the northern latitude band S"}},
		{"38T 444500 3688500", []string{"not in latitude band T"}},
		{"38O 444500 3688500", []string{"no latitude band O"}},
		{"61n 444500 3688500", []string{"zone 61 is outside 1 to 60"}},
		{"00n 444500 3688500", []string{"zone 0 is outside 1 to 60"}},
		{"38n 94450 3688500", []string{"easting 94450 is outside"}},
		{"38n 444500 10000001", []string{"northing 10000001 is outside"}},
		{"38n 444500 9999999", []string{"beyond 80 S or 84 N"}},
		{"38n -444500 3688500", []string{"easting -444500"}},
		{"n 2000000 5000000", []string{"far from the pole"}},
		{"n 1300000 1300000", []string{"outside the grids"}},
		{"T 2000000 2000000", []string{"need a zone"}},
		{"Z 1900000 2000000", []string{"not in the half of the polar grid"}},
		{"38SMB448", []string{"3 digits", "cannot be halved"}},
		{"38S MB 44 8", []string{"3 digits"}},
		{"38SMB 444500 368850", []string{"6 digits each", "cut it to five"}},
		{"38SAB4488", []string{"no square AB in zone 38"}},
		{"38SMO4488", []string{"no square MO in zone 38", "I and O"}},
		{"38IMB4488", []string{"no latitude band I"}},
		{"61SMB4488", []string{"zone 61 is outside 1 to 60"}},
		{"38SMM4488", []string{"does not reach into 38S"}},
		{"32XMG1234", []string{"no zone 32X"}},
		{"BIN00", []string{"no square IN in the polar grid B"}},
		{"YRA0000", []string{"outside the polar grid Y"}},

		// Plus codes.
		{"CJ+2VX", []string{"short plus code", "give the full code"}},
		{"CJ+2VX Harbour", []string{"short plus code"}},
		{"8FVC2222+22 Harbour", []string{"follows a full plus code"}},
		{"8FVC2222+2", []string{"not whole"}},
		{"8FVC22220+22", []string{"not whole"}},
		{"8FVC2200+22", []string{"zeros in a plus code"}},
		{"8FVA2222+22", []string{`"A" is never part`}},
		{"F2222222+22", []string{"beyond 90 degrees north"}},
		{"8X222222+22", []string{"beyond 90 degrees north or 180 degrees east"}},
	} {
		t.Run(excerptOf(c.text), func(t *testing.T) {
			got, err := position.Parse(c.text)
			require.Error(t, err, "read as %+v", got)
			assert.Equal(t, position.Parsed{}, got, "nothing comes with a refusal")
			for _, phrase := range c.says {
				assert.ErrorContains(t, err, phrase)
			}
			checkRefusal(t, c.text, err)
		})
	}
}

// checkRefusal holds for every refusal: its type, a length fit for a screen, no
// control characters and no long echo of the text.
func checkRefusal(t *testing.T, text string, err error) {
	t.Helper()
	var refusal *position.Error
	require.True(t, errors.As(err, &refusal), "%T", err)
	assert.NotEmpty(t, refusal.Reason)
	message := err.Error()
	assert.Less(t, utf8.RuneCountInString(message), 400)
	assert.Equal(t, -1, strings.IndexFunc(message, unicode.IsControl), "%q", message)
	assert.True(t, utf8.ValidString(message))
	if len([]rune(text)) > 60 {
		assert.NotContains(t, message, text)
	}
}

func excerptOf(text string) string { return text[:min(len(text), 40)] }
