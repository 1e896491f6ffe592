package wind_test

import (
	"fmt"

	"surgeonward/geo"
	"surgeonward/geo/wind"
)

func ExampleTriangle() {
	s, err := wind.Triangle(90, 120*geo.Knot, wind.Wind{FromDeg: 45, SpeedMS: 40 * geo.Knot})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("heading %03.0f, ground speed %.0f kt\n", s.HeadingDeg, s.GroundSpeedMS/geo.Knot)
	// Output: heading 076, ground speed 88 kt
}
