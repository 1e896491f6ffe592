package calibrate_test

import (
	"fmt"

	"surgeonward/routing"
	"surgeonward/routing/calibrate"
)

func ExampleDecode() {
	_, faults := calibrate.Decode([]byte("journey_id,stage,started_at,duration_s,from_lon,from_lat\n" +
		"17,handovr,2031-03-14T21:40:00Z,3 min,-29.41,45.52\n"))
	for _, f := range faults {
		fmt.Println(f)
	}
	// Output:
	// row 2, column duration_s: "3 min" is not a plain number such as 412 or -29.41, with a point and without units
	// row 2, column stage: unknown stage "handovr": did you mean "handover"?
}

func ExampleWilson() {
	low, high := calibrate.Wilson(54, 60, calibrate.Level)
	fmt.Printf("54 of 60 arrived before the slow figure: %.0f %% to %.0f %%\n", 100*low, 100*high)
	// Output:
	// 54 of 60 arrived before the slow figure: 82 % to 95 %
}

func ExampleCalibrate() {
	text := "journey_id,stage,started_at,duration_s,from_lon,from_lat\n"
	for i := range 40 {
		text += fmt.Sprintf("%d,handover,2031-03-14T14:%02d:00Z,%d,-29.41,45.52\n", i, i, 200+5*i)
	}
	journeys, _ := calibrate.Decode([]byte(text))
	result := calibrate.Calibrate(journeys, routing.DefaultSettings(), nil, calibrate.Options{})
	handover := result.Patch.Allowances["handover"]
	fmt.Printf("typical %g s, slow %g s, %s\n", handover.TypicalS, handover.SlowS, handover.Source)
	// Output:
	// typical 297.5 s, slow 379.5 s, calibrated on 40 journeys of the region, 2031-03-14 to 2031-03-14
}
