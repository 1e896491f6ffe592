package export

import (
	"bytes"
	"encoding/json"

	"surgeonward/facilities"
)

// feature has only what RFC 7946 defines, and the members kind and name.
type feature struct {
	Type     string `json:"type"`
	ID       string `json:"id"`
	Geometry struct {
		Type        string     `json:"type"`
		Coordinates [2]float64 `json:"coordinates"`
	} `json:"geometry"`
	Properties struct {
		Kind facilities.Kind `json:"kind"`
		Name string          `json:"name"`
	} `json:"properties"`
}

// GeoJSON writes the facilities as points (RFC 7946) with id, kind and name, for
// programs that cannot do with rotas inside of properties. It is not the list: what
// is left out is lost. The list itself is [facilities.List.Encode].
func GeoJSON(l *facilities.List) ([]byte, error) {
	features := []feature{}
	for _, f := range l.All() {
		out := feature{Type: "Feature", ID: f.ID}
		out.Geometry.Type, out.Geometry.Coordinates = "Point", [2]float64{f.Position.Lon(), f.Position.Lat()}
		out.Properties.Kind, out.Properties.Name = f.Kind, f.Name
		features = append(features, out)
	}
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", " ")
	err := encoder.Encode(struct {
		Type     string    `json:"type"`
		Features []feature `json:"features"`
	}{"FeatureCollection", features})
	return b.Bytes(), err
}
