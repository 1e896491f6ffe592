package facilities

import (
	"math"
	"strconv"

	"github.com/paulmach/orb"
)

// position reads [longitude, latitude] with an optional height in metres. It is read
// here and not by a GeoJSON library because those accept a missing or null number as
// 0 and a latitude beyond the pole.
func (r *featureReader) position(n node) orb.Point {
	array, ok := n.value.([]any)
	if !ok {
		return orb.Point{} // the schema has said so
	}
	if len(array) < 2 || len(array) > 3 {
		r.fault(n.pointer, "a position is [longitude, latitude], with a height in metres at most: it must have 2 or 3 numbers, got %d", len(array))
		return orb.Point{}
	}
	var numbers [3]float64
	usable := true
	for i, v := range array {
		f, ok := v.(float64)
		if !ok || math.IsNaN(f) || math.IsInf(f, 0) {
			r.fault(n.item(i, v).pointer, "%s must be a number, got %s", positionPart[i], typeName(v))
			usable = false
			continue
		}
		numbers[i] = f
	}
	if !usable {
		return orb.Point{}
	}
	r.checkRange(n, numbers[0], numbers[1])
	return orb.Point{numbers[0], numbers[1]}
}

var positionPart = [3]string{"longitude", "latitude", "height"}

func (r *featureReader) checkRange(n node, lon, lat float64) {
	if math.Abs(lon) > 180 {
		r.fault(n.item(0, nil).pointer, "longitude %s is outside -180 to 180 degrees", showNumber(lon))
	}
	if math.Abs(lat) > 90 {
		hint := ""
		if math.Abs(lon) <= 90 && math.Abs(lat) <= 180 {
			hint = ": the two may be swapped, longitude comes first"
		}
		r.fault(n.item(1, nil).pointer, "latitude %s is outside -90 to 90 degrees%s", showNumber(lat), hint)
	}
}

func showNumber(f float64) string { return strconv.FormatFloat(f, 'g', 9, 64) }

func typeName(v any) string {
	switch v.(type) {
	case nil:
		return "null"
	case bool:
		return "true or false"
	case string:
		return "a string"
	case []any:
		return "an array"
	case map[string]any:
		return "an object"
	}
	return "no finite number"
}
