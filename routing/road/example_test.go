package road_test

import (
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/routing/road"
)

// Two shores of an inlet, with a bridge that is closed for the night.
func ExampleTerrain() {
	inlet := `{"type": "FeatureCollection", "features": [
	  {"type": "Feature", "id": "inlet", "properties": {"kind": "barrier", "name": "Marrow inlet"},
	   "geometry": {"type": "LineString", "coordinates": [[-29.40, 45.70], [-29.40, 45.40]]}},
	  {"type": "Feature", "id": "bridge", "properties": {"kind": "crossing", "crossing": "bridge", "name": "Tamber bridge",
	    "closed": {"reason": "high wind", "until": "2031-03-15T06:00:00Z"}},
	   "geometry": {"type": "LineString", "coordinates": [[-29.41, 45.50], [-29.39, 45.50]]}}]}`
	m, faults, _ := road.Decode([]byte(inlet), road.DecodeOptions{Zone: time.UTC})
	if len(faults) > 0 {
		fmt.Println(faults)
		return
	}
	law := road.Law{CruiseMS: 90 * road.KilometrePerHour, AccelerationMS2: 40 * road.KilometrePerHourPerMinute}
	terrain, err := road.NewTerrain(m, road.Region{Factor: 1.3, Law: law})
	if err != nil {
		fmt.Println(err)
		return
	}
	west, east := orb.Point{-29.45, 45.52}, orb.Point{-29.35, 45.52}
	for _, hour := range []int{5, 6} {
		route, err := terrain.Route(west, east, law, time.Date(2031, 3, 15, hour, 0, 0, 0, time.UTC))
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%02d:00  %.0f min, %s\n", hour, route.TypicalS/60, route.Basis)
	}
	// Output:
	// 05:00  26 min, road 36.1 km: 27.8 km x 1.3, round Marrow inlet; great circle 7.8 km in all, accelerating at 40 km/h per minute to 90 km/h
	// 06:00  10 min, road 12.0 km: 9.2 km x 1.3, by Tamber bridge; great circle 7.8 km in all, accelerating at 40 km/h per minute to 90 km/h
}
