package coverage

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"strconv"
)

// WriteCSV writes one row for each cell. Times that nobody reaches are empty.
func (r *Result) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	header := []string{"latitude", "longitude", "name", "people", "area_km2", "typical_s", "slow_s", "shape", "asset", "assets", "hospital", "option"}
	if r.Second {
		header = append(header, "second_typical_s", "second_asset", "second_hospital", "lost_s")
	}
	if err := out.Write(header); err != nil {
		return err
	}
	for i := range r.Outcomes {
		c, o := &r.Demand.Cells[i], &r.Outcomes[i]
		assets := ""
		for k, a := range o.Assets {
			if k > 0 {
				assets += " "
			}
			assets += a
		}
		row := []string{decimal(c.At.Lat(), 6), decimal(c.At.Lon(), 6), plainCell(c.Name), decimal(c.People, 3), decimal(c.AreaM2/1e6, 6),
			wholeSeconds(o.Seconds()), wholeSeconds(o.SlowSeconds()), string(o.Shape), o.Asset(), assets, o.Destination, o.ID}
		if r.Second {
			second, lost := Outcome{}, ""
			if o.Second != nil {
				second.Best, lost = *o.Second, wholeSeconds(o.LostS())
			}
			row = append(row, wholeSeconds(second.Seconds()), second.Asset(), second.Destination, lost)
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// plainCell keeps a name from being taken for a formula by a spreadsheet.
func plainCell(name string) string {
	if name != "" && (name[0] == '=' || name[0] == '+' || name[0] == '-' || name[0] == '@') {
		return "'" + name
	}
	return name
}

func decimal(v float64, digits int) string {
	scale := math.Pow10(digits)
	return strconv.FormatFloat(math.Round(v*scale)/scale, 'f', -1, 64)
}

// wholeSeconds is a time to the second; empty where it is not finite.
func wholeSeconds(s float64) string {
	if math.IsInf(s, 0) || math.IsNaN(s) {
		return ""
	}
	return strconv.FormatFloat(math.Round(s), 'f', -1, 64)
}

type feature struct {
	Type       string         `json:"type"`
	Properties map[string]any `json:"properties"`
	Geometry   geometry       `json:"geometry"`
}

type geometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

// WriteGeoJSON writes a FeatureCollection: the isochrones of the bands where there
// is a grid, the widest first, so that a map drawn in order shows all of them; the
// points with their times where there is none.
func (r *Result) WriteGeoJSON(w io.Writer, caution string) error {
	file := struct {
		Type      string    `json:"type"`
		Caution   string    `json:"caution"`
		Situation string    `json:"situation"`
		Features  []feature `json:"features"`
	}{"FeatureCollection", caution, r.Situation, []feature{}}
	if r.Demand.Grid == nil {
		for i := range r.Outcomes {
			file.Features = append(file.Features, r.point(i))
		}
		return json.NewEncoder(w).Encode(file)
	}
	bands, err := r.Isochrones(BandsS)
	if err != nil {
		return err
	}
	for i := len(bands) - 1; i >= 0; i-- {
		b := &bands[i]
		file.Features = append(file.Features, feature{"Feature",
			map[string]any{"within_min": b.WithinS / 60, "people": math.Round(b.People*1000) / 1000, "area_km2": b.AreaM2 / 1e6},
			geometry{"MultiPolygon", b.Polygons}})
	}
	return json.NewEncoder(w).Encode(file)
}

func (r *Result) point(i int) feature {
	c, o := &r.Demand.Cells[i], &r.Outcomes[i]
	properties := map[string]any{"name": c.Name, "people": c.People, "reached": o.Reached}
	if o.Reached {
		properties["typical_s"], properties["slow_s"] = math.Round(o.Total.TypicalS), math.Round(o.Total.SlowS)
		properties["shape"], properties["asset"], properties["hospital"] = o.Shape, o.Asset(), o.Destination
	}
	return feature{"Feature", properties, geometry{"Point", round7(c.At)}}
}
