package coverage

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"math"

	"surgeonward/routing"
)

// WriteCSV writes one row for each cell: the time before and after, what is gained
// (negative: lost), and with Ranges what that may be. Times that nobody reaches, and
// gains that are none because of that, are empty; the column change says which.
func (d *Difference) WriteCSV(w io.Writer) error {
	rows := [][]string{{"latitude", "longitude", "name", "people", "area_km2", "change", "before_s", "after_s", "gain_s",
		"gain_low_s", "gain_median_s", "gain_high_s", "before_asset", "after_asset", "before_hospital", "after_hospital"}}
	for i := range d.LongerS {
		c, was, is := &d.Before.Demand.Cells[i], &d.Before.Outcomes[i], &d.After.Outcomes[i]
		r := d.rangeAt(i)
		rows = append(rows, []string{decimal(c.At.Lat(), 6), decimal(c.At.Lon(), 6), plainCell(c.Name), decimal(c.People, 3), decimal(c.AreaM2/1e6, 6),
			string(d.Effect(i)), wholeSeconds(was.Seconds()), wholeSeconds(is.Seconds()), gainSeconds(-d.LongerS[i]),
			gainSeconds(r.Low), gainSeconds(r.Median), gainSeconds(r.High), was.Asset(), is.Asset(), was.Destination, is.Destination})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// rangeAt is the range of a cell's gain; NaN where there is none.
func (d *Difference) rangeAt(cell int) routing.Range {
	if d.Ranges == nil {
		return routing.Range{Low: math.NaN(), Median: math.NaN(), High: math.NaN()}
	}
	return d.Ranges.GainS[cell]
}

// gainSeconds is a gain to the second without the sign of a zero.
func gainSeconds(s float64) string {
	if text := wholeSeconds(s); text != "-0" {
		return text
	}
	return "0"
}

// WriteGeoJSON writes a FeatureCollection with one feature for each cell, or for each
// point where there is no grid, and the figures of the CSV file.
func (d *Difference) WriteGeoJSON(w io.Writer, caution string) error {
	file := struct {
		Type      string    `json:"type"`
		Caution   string    `json:"caution"`
		Situation string    `json:"situation"`
		Features  []feature `json:"features"`
	}{"FeatureCollection", caution, d.Before.Situation, make([]feature, 0, len(d.LongerS))}
	for i := range d.LongerS {
		file.Features = append(file.Features, d.feature(i))
	}
	return json.NewEncoder(w).Encode(file)
}

func (d *Difference) feature(i int) feature {
	c, r := &d.Before.Demand.Cells[i], d.rangeAt(i)
	properties := map[string]any{"name": c.Name, "people": c.People, "change": d.Effect(i)}
	for _, p := range []struct {
		name  string
		value float64
	}{{"before_s", d.Before.Outcomes[i].Seconds()}, {"after_s", d.After.Outcomes[i].Seconds()}, {"gain_s", -d.LongerS[i]},
		{"gain_low_s", r.Low}, {"gain_median_s", r.Median}, {"gain_high_s", r.High}} {
		if !math.IsInf(p.value, 0) && !math.IsNaN(p.value) {
			properties[p.name] = math.Round(p.value) + 0 // no negative zero
		}
	}
	if g := d.Before.Demand.Grid; g != nil {
		properties["area_km2"] = c.AreaM2 / 1e6
		return feature{"Feature", properties, geometry{"MultiPolygon", g.Cell(i)}}
	}
	return feature{"Feature", properties, geometry{"Point", round7(c.At)}}
}
