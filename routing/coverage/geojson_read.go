package coverage

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"surgeonward/facilities/strictjson"
)

// maxValues is how many values a file of the most cells and a country's coasts has.
const maxValues = 100_000_000

// DecodeGeoJSON reads a FeatureCollection (RFC 7946): points with the properties
// people (or weight) and name are demand; polygons and multipolygons are the area
// to look at. An error is Faults, with all of them.
func DecodeGeoJSON(data []byte) (points []Cell, area Area, err error) {
	value, bad := strictjson.Parse(data, strictjson.Limits{Bytes: MaxBytes, Values: maxValues})
	var faults Faults
	for _, f := range bad {
		faults.add(f.Pointer, "%s", f.Detail)
	}
	if len(faults) > 0 {
		return nil, nil, faults
	}
	file, _ := value.(map[string]any)
	features, ok := file["features"].([]any)
	if file["type"] != "FeatureCollection" || !ok {
		faults.add("/", "is not a GeoJSON FeatureCollection with features")
		return nil, nil, faults
	}
	d := &reader{faults: &faults}
	for i, f := range features {
		d.feature(fmt.Sprintf("/features/%d", i), f)
	}
	if len(faults) == 0 && len(d.points) == 0 && len(d.area) == 0 {
		faults.add("/features", "has neither a point nor a polygon")
	}
	if len(faults) > 0 {
		return nil, nil, faults
	}
	return d.points, d.area, nil
}

type reader struct {
	faults *Faults
	points []Cell
	area   Area
}

func (d *reader) feature(at string, value any) {
	f, _ := value.(map[string]any)
	geometry, ok := f["geometry"].(map[string]any)
	if f["type"] != "Feature" || !ok {
		d.faults.add(at, "is not a Feature with a geometry")
		return
	}
	where := at + "/geometry/coordinates"
	switch geometry["type"] {
	case "Point":
		c := Cell{People: 1}
		var ok bool
		if c.At, ok = d.position(where, geometry["coordinates"]); !ok {
			return
		}
		properties, _ := f["properties"].(map[string]any)
		c.Name, _ = properties["name"].(string)
		for _, name := range []string{"weight", "people"} {
			if w, there := properties[name]; there {
				if c.People, ok = asNumber(w); !ok || !(c.People >= 0 && c.People <= maxWeight) {
					d.faults.add(at+"/properties/"+name, "must be a number from 0 to %g", maxWeight)
				}
			}
		}
		d.points = append(d.points, c)
	case "Polygon":
		d.polygon(where, geometry["coordinates"])
	case "MultiPolygon":
		all, ok := geometry["coordinates"].([]any)
		if !ok {
			d.faults.add(where, "must be a list of polygons")
		}
		for i, p := range all {
			d.polygon(fmt.Sprintf("%s/%d", where, i), p)
		}
	default:
		d.faults.add(at+"/geometry/type", "must be Point, Polygon or MultiPolygon")
	}
}

func (d *reader) polygon(at string, value any) {
	rings, ok := value.([]any)
	if !ok || len(rings) == 0 {
		d.faults.add(at, "must be a list of rings")
		return
	}
	var polygon orb.Polygon
	for i, ring := range rings {
		where := fmt.Sprintf("%s/%d", at, i)
		positions, ok := ring.([]any)
		if !ok || len(positions) < 4 {
			d.faults.add(where, "must be a ring of at least four positions")
			return
		}
		var r orb.Ring
		for k, p := range positions {
			point, ok := d.position(fmt.Sprintf("%s/%d", where, k), p)
			if !ok {
				return
			}
			r = append(r, point)
		}
		if r[0] != r[len(r)-1] {
			d.faults.add(where, "is not closed: the last position must be the first")
			return
		}
		polygon = append(polygon, r)
	}
	d.area = append(d.area, polygon)
}

func (d *reader) position(at string, value any) (orb.Point, bool) {
	list, ok := value.([]any)
	if !ok || len(list) < 2 {
		d.faults.add(at, "must be a position: longitude, latitude")
		return orb.Point{}, false
	}
	lon, one := asNumber(list[0])
	lat, two := asNumber(list[1])
	if !one || !two || !(math.Abs(lon) <= 180) || !(math.Abs(lat) <= 90) {
		d.faults.add(at, "must be longitude from -180 to 180, then latitude from -90 to 90")
		return orb.Point{}, false
	}
	return orb.Point{lon, lat}, true
}

func asNumber(v any) (float64, bool) {
	n, ok := v.(float64)
	return n, ok
}
