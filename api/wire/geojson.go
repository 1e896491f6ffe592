package wire

import (
	"slices"

	"github.com/paulmach/orb"

	"surgeonward/api/region"
	"surgeonward/geo"
	"surgeonward/routing"
)

// arcStepM is the longest straight piece of a drawn great circle, in metres:
// over 10 km an arc leaves its chord by 2 m, less than a screen shows.
const arcStepM = 10_000

// FeatureCollection is an answer for a map (RFC 7946). What is not geometry
// stands beside the features as foreign members.
type FeatureCollection struct {
	Type string `json:"type"`
	Head
	Night    bool       `json:"night"`
	RankBy   string     `json:"rank_by"`
	Found    int        `json:"found"`
	Cautions []string   `json:"cautions"`
	Weather  []Weather  `json:"weather"`
	Until    []Deadline `json:"until"`
	DecideBy *Deadline  `json:"decide_by,omitempty"`
	RunnerUp *RunnerUp  `json:"runner_up,omitempty"`
	Features []Feature  `json:"features"`
}

// Feature is the scene, a destination, or one leg of an option.
type Feature struct {
	Type       string   `json:"type"`
	ID         string   `json:"id"`
	Geometry   Geometry `json:"geometry"`
	Properties any      `json:"properties"`
}

// Geometry is a Point, a LineString or a MultiLineString.
type Geometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

// sceneProperties, destinationProperties and legProperties are told apart by Role.
type sceneProperties struct {
	Role         string `json:"role"`
	Format       string `json:"format,omitempty"`
	UncertaintyM int64  `json:"uncertainty_m"`
	Facility     string `json:"facility,omitempty"`
	Landing      string `json:"landing,omitempty"`
	Winch        bool   `json:"winch,omitempty"`
}

type destinationProperties struct {
	Role     string   `json:"role"`
	Facility string   `json:"facility"`
	Name     string   `json:"name"`
	Options  []string `json:"options"` // best first
}

type legProperties struct {
	Role      string   `json:"role"`
	Option    string   `json:"option"`
	Rank      int      `json:"rank"`
	Shape     string   `json:"shape"`
	Total     Duration `json:"total"`
	Activity  string   `json:"activity"`
	Kind      string   `json:"kind"`
	Lane      string   `json:"lane"`
	By        string   `json:"by"`
	Asset     string   `json:"asset,omitempty"`
	StartS    int64    `json:"start_s"`
	EndS      int64    `json:"end_s"`
	Critical  bool     `json:"critical"`
	DistanceM int64    `json:"distance_m,omitempty"`
	Basis     string   `json:"basis"`
}

// EncodeGeoJSON makes the map form of the same answer: the scene, the
// destinations of the options returned, and each leg, flights as great circles
// and roads through their corners, cut at the antimeridian.
func EncodeGeoJSON(ans *routing.Answer, q *Request, r *region.Region, build string) (FeatureCollection, error) {
	var n rounder
	a, err := Encode(ans, q, r, build)
	if err != nil {
		return FeatureCollection{}, err
	}
	out := FeatureCollection{
		Type: "FeatureCollection", Head: a.Head, Night: a.Night, RankBy: a.RankBy, Found: a.Found, Cautions: a.Cautions,
		Weather: a.Weather, Until: a.Until, DecideBy: a.DecideBy, RunnerUp: a.RunnerUp,
	}
	out.Features = append(out.Features, Feature{
		Type: "Feature", ID: "scene", Geometry: Geometry{Type: "Point", Coordinates: a.Scene.Position},
		Properties: sceneProperties{Role: "scene", Format: a.Scene.Format, UncertaintyM: a.Scene.UncertaintyM,
			Facility: a.Scene.Facility, Landing: a.Scene.Landing, Winch: a.Scene.Winch},
	})
	out.Features = append(out.Features, destinationFeatures(a.Options)...)
	for i := range ans.Options {
		out.Features = append(out.Features, n.legs(&ans.Options[i], &a.Options[i])...)
	}
	return out, n.err
}

// destinationFeatures lists each hospital once, in order of its best option.
func destinationFeatures(options []Option) (out []Feature) {
	at := map[string]int{}
	for _, o := range options {
		i, seen := at[o.Destination.Facility]
		if !seen {
			i = len(out)
			at[o.Destination.Facility] = i
			out = append(out, Feature{
				Type: "Feature", ID: "destination/" + o.Destination.Facility,
				Geometry:   Geometry{Type: "Point", Coordinates: o.Destination.Position},
				Properties: &destinationProperties{Role: "destination", Facility: o.Destination.Facility, Name: o.Destination.Name},
			})
		}
		p := out[i].Properties.(*destinationProperties)
		p.Options = append(p.Options, o.ID)
	}
	return out
}

func (n *rounder) legs(o *routing.Option, w *Option) (out []Feature) {
	for i := range o.Plan {
		s, a := &o.Plan[i], &w.Activities[i]
		geometry, ok := n.line(s.Path, s.ByAir)
		if !ok {
			continue
		}
		out = append(out, Feature{
			Type: "Feature", ID: "leg/" + o.ID + "/" + a.ID, Geometry: geometry,
			Properties: legProperties{
				Role: "leg", Option: o.ID, Rank: o.Rank, Shape: w.Shape, Total: w.Total,
				Activity: a.ID, Kind: a.Kind, Lane: a.Lane, By: moves(s), Asset: a.Asset,
				StartS: a.StartS, EndS: a.EndS, Critical: a.Critical, DistanceM: a.DistanceM, Basis: a.Basis,
			},
		})
	}
	return out
}

// line draws a path through its corners, as great circles or straight from one
// to the next. A path without length is no line: a vehicle that stands where it
// is needed has no leg to draw.
func (n *rounder) line(path []orb.Point, arcs bool) (Geometry, bool) {
	points := path
	if arcs {
		points = nil
		for i := 1; i < len(path); i++ {
			points = append(points, geo.Arc(path[i-1], path[i], arcStepM)...)
		}
	}
	var pieces [][][2]float64
	for _, piece := range geo.SplitAtAntimeridian(points) {
		coordinates := make([][2]float64, 0, len(piece))
		for _, p := range piece {
			if c := n.position(p); len(coordinates) == 0 || coordinates[len(coordinates)-1] != c {
				coordinates = append(coordinates, c)
			}
		}
		if len(coordinates) > 1 {
			pieces = append(pieces, coordinates)
		}
	}
	pieces = slices.Clip(pieces)
	switch len(pieces) {
	case 0:
		return Geometry{}, false
	case 1:
		return Geometry{Type: "LineString", Coordinates: pieces[0]}, true
	}
	return Geometry{Type: "MultiLineString", Coordinates: pieces}, true
}
