package position_test

import (
	"fmt"

	"surgeonward/geo/position"
)

func ExampleParse() {
	for _, text := range []string{"45 31.2N 029 24.6W", "26T LR 1178 4354", "45,52 29,41"} {
		p, err := position.Parse(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%.4f, %.4f from %s, within %.0f m\n", p.Point.Lat(), p.Point.Lon(), p.Format, p.UncertaintyM)
	}
	// Output:
	// 45.5200, -29.4100 from degrees and minutes, within 113 m
	// 45.5200, -29.4100 from MGRS, within 7 m
	// the comma in "45,52" may be a decimal comma; write a decimal point, and a space after the comma between two numbers, as in 45.52, -29.41
}

func ExampleFormatMGRS() {
	p, err := position.Parse("45.52, -29.41")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(position.FormatMGRS(p.Point, 3))
	// Output: 26TLR117435 <nil>
}
