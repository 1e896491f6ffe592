package weather_test

import (
	"fmt"
	"time"

	"surgeonward/geo"
	"surgeonward/geo/weather"
)

func ExampleParseReport() {
	ref := time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)
	r, err := weather.ParseReport("METAR YUDO 142130Z 24018G29KT 2500 -RA BKN009 OVC0I8 09/08 Q1004", ref)
	if err != nil {
		fmt.Println(err)
		return
	}
	m, state := r.Base.Ceiling()
	fmt.Printf("visibility %.0f m, ceiling %s, at most %.0f ft, unread %q\n",
		r.Base.Visibility.M, state, m/geo.Foot, r.Unread)
	// Output: visibility 2500 m, ceiling unknown, at most 900 ft, unread ["OVC0I8"]
}

func ExampleForecast_At() {
	ref := time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)
	f, err := weather.ParseForecast("TAF YUDO 141700Z 1418/1518 24012KT 9999 SCT030 TEMPO 1421/1503 2000 RA BKN006", ref)
	if err != nil {
		fmt.Println(err)
		return
	}
	prevailing, temporary, _ := f.At(ref)
	worst := weather.Worst(append(temporary, prevailing)...)
	m, _ := worst.Ceiling()
	fmt.Printf("prevailing %.0f m, at worst %.0f m under %.0f ft\n",
		prevailing.Visibility.M, worst.Visibility.M, m/geo.Foot)
	// Output: prevailing 10000 m, at worst 2000 m under 600 ft
}
