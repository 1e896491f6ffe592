package facilities_test

import (
	"fmt"
	"os"
	"time"

	"surgeonward/facilities"
)

func ExampleDecode() {
	data, err := os.ReadFile("testdata/example.geojson")
	if err != nil {
		fmt.Println(err)
		return
	}
	list, errs, warnings := facilities.Decode(data, facilities.DecodeOptions{Zone: time.UTC})
	fmt.Println(list.Len(), "facilities,", len(errs), "errors,", len(warnings), "warnings")

	hospital, _ := list.Get("tavrin-hospital")
	friday := time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC) // 19:40 there
	presence, _ := hospital.PresenceAt(facilities.CardiothoracicSurgery, friday)
	fmt.Printf("%s: surgeon %s, at the table in %.0f s typical, %.0f s slow\n",
		hospital.Name, presence.Attendance, presence.CallIn.TypicalS, presence.CallIn.SlowS)
	// Output:
	// 3 facilities, 0 errors, 0 warnings
	// Tavrin Bay Hospital: surgeon on_call, at the table in 1200 s typical, 1800 s slow
}

func ExampleDecode_faults() {
	_, errs, _ := facilities.Decode([]byte(`{
	  "type": "FeatureCollection",
	  "features": [{
	    "type": "Feature", "id": "west-base",
	    "geometry": {"type": "Point", "coordinates": [45.5, -129.4]},
	    "properties": {"kind": "base", "nmae": "West Base", "runway_m": 900}
	  }]
	}`), facilities.DecodeOptions{})
	for _, f := range errs {
		fmt.Println(f)
	}
	// Output:
	// west-base /features/0/geometry/coordinates/1: latitude -129.4 is outside -90 to 90 degrees: the two may be swapped, longitude comes first
	// west-base /features/0/properties: missing field "name": add it
	// west-base /features/0/properties/nmae: unknown field "nmae": did you mean "name"?
	// west-base /features/0/properties/runway_m: "runway_m" is for airfields only: remove it or correct "kind"
}

func ExampleRota_NextStart() {
	closed, open := facilities.Opening{State: "closed"}, facilities.Opening{State: "open"}
	hours := facilities.Rota[facilities.Opening]{
		Otherwise: closed,
		Weekly:    []facilities.Window[facilities.Opening]{{Days: [7]bool{time.Saturday: true}, FromMin: 7*60 + 30, ToMin: 18 * 60, Value: open}},
	}
	zone := time.FixedZone("two hours behind UTC", -2*3600)
	friday := time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)
	at, ok := hours.NextStart(friday, zone, func(o facilities.Opening) bool { return o == open }, 24*time.Hour)
	fmt.Println(at, ok)
	// Output: 2031-03-15 09:30:00 +0000 UTC true
}
