package sun_test

import (
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/geo/sun"
)

func ExampleNextChange() {
	openOcean := orb.Point{-29.41, 45.52}
	at := time.Date(2031, 3, 14, 18, 0, 0, 0, time.UTC)
	change, toNight, _ := sun.NextChange(openOcean, at)
	fmt.Println(sun.IsNight(openOcean, at), toNight, change.Format("15:04"))
	// Output: false true 20:31
}
