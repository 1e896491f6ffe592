package facilities

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
)

// farAway is how far in metres a facility can be from the middle of the list before
// a slip in the position is likelier than so wide a region (assumption).
const farAway = 2_000_000.0

// crossCheck looks at the features together.
func (d *decoder) crossCheck() {
	d.duplicateIDs()
	d.sameNames()
	d.distant()
}

func (d *decoder) duplicateIDs() {
	first := map[string]int{}
	for i, id := range d.ids {
		if id == "" {
			continue
		}
		if earlier, taken := first[id]; taken {
			d.errs.add(Fault{Feature: id, Pointer: "/features/" + strconv.Itoa(i) + "/id",
				Detail: fmt.Sprintf("id %s is taken: features %d and %d have it, give one of them another", strictjson.Quote(id), earlier, i)})
			continue
		}
		first[id] = i
	}
}

func (d *decoder) sameNames() {
	first := map[string]*Facility{}
	for i, f := range d.facilities {
		key := strings.ToLower(strings.Join(strings.Fields(f.Name), " "))
		if other, taken := first[key]; taken {
			d.warnings.add(Fault{Feature: f.ID, Pointer: d.places[i].pointer + "/properties/name",
				Detail: fmt.Sprintf("name %s is also that of %s: people cannot tell them apart", strictjson.Quote(f.Name), other.ID)})
			continue
		}
		first[key] = f
	}
}

// distant warns of facilities far from the middle of the list, or of two that are far
// apart. The middle is the median of each of the three coordinates of the unit vectors:
// a few wrong positions hardly move it, and the antimeridian does not disturb it.
func (d *decoder) distant() {
	var axes [3][]float64
	for _, f := range d.facilities {
		for axis, v := range unitVector(f.Position) {
			axes[axis] = append(axes[axis], v)
		}
	}
	if len(d.facilities) == 0 {
		return
	}
	x, y, z := median(axes[0]), median(axes[1]), median(axes[2])
	middle := orb.Point{math.Atan2(y, x) * 180 / math.Pi, math.Atan2(z, math.Hypot(x, y)) * 180 / math.Pi}
	for i, f := range d.facilities {
		away := geo.Distance(f.Position, middle)
		if away <= farAway {
			continue
		}
		hint := "check it"
		if swapped := (orb.Point{f.Position.Lat(), f.Position.Lon()}); math.Abs(swapped.Lat()) <= 90 && geo.Distance(swapped, middle) <= farAway {
			hint = "longitude and latitude may be swapped, longitude comes first"
		}
		d.warnings.add(Fault{Feature: f.ID, Pointer: d.places[i].pointer + "/geometry/coordinates",
			Detail: fmt.Sprintf("the position is %.0f km from the middle of the list: %s", away/1000, hint)})
	}
}

// median of at least one value; of an even number, the mean of the middle two.
func median(values []float64) float64 {
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}

func unitVector(p orb.Point) [3]float64 {
	sinLat, cosLat := math.Sincos(p.Lat() * math.Pi / 180)
	sinLon, cosLon := math.Sincos(p.Lon() * math.Pi / 180)
	return [3]float64{cosLat * cosLon, cosLat * sinLon, sinLat}
}
