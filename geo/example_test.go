package geo_test

import (
	"fmt"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

func ExampleDistance() {
	harbour := orb.Point{-29.41, 45.52}
	hospital := orb.Point{-29.87, 45.31}
	fmt.Printf("%.1f km, %.1f NM\n", geo.Distance(harbour, hospital)/1000, geo.Distance(harbour, hospital)/geo.NauticalMile)
	fmt.Printf("leave on %.0f degrees true\n", geo.InitialBearing(harbour, hospital))
	// Output:
	// 42.8 km, 23.1 NM
	// leave on 237 degrees true
}
