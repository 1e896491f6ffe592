package flight

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"sync"

	"surgeonward/geo"
)

// Table is a set of weather minima with where it comes from.
type Table struct {
	ID         string `json:"id"`
	Label      string `json:"label"`
	Regulation string `json:"regulation"`
	Edition    string `json:"edition"`
	Mark       string `json:"mark"` // "read", "memory", "assumption" or "region"
	Source     string `json:"source"`
	Note       string `json:"note,omitempty"`
	Rows       []Row  `json:"rows"`
}

// Row is one pair of ceiling and visibility that together allow flight. A row
// applies when every condition it states is met; where several apply, any one
// of them is enough.
type Row struct {
	When        string  `json:"when"`             // "day" or "night"
	Pilots      int     `json:"pilots,omitempty"` // crews of that many pilots; 0: any
	Aided       bool    `json:"aided,omitempty"`  // only with approved night vision or terrain warning
	Area        string  `json:"area,omitempty"`   // only in this class of area; empty: any
	CeilingFt   float64 `json:"ceiling_ft"`
	VisibilityM float64 `json:"visibility_m"`
}

// Crew is what an asset's minima depend on.
type Crew struct {
	Pilots int    // 1 or 2
	Aided  bool   // approved night vision or terrain warning
	Area   string // class of area, for tables that tell them apart
}

// Sky is the part of the weather that minima speak of. NaN is not known, which
// is never good enough; +Inf is no ceiling at all.
type Sky struct {
	CeilingM         float64
	VisibilityM      float64
	VisibilityUnderM float64 // where it is not known but for being below this; 0: nothing is known
}

// Verdict is what a table says of a sky.
type Verdict struct {
	Allowed bool
	Near    bool // allowed, but one of the two within the margin of its minimum
	Row     Row  // the row that allows it, or the one least missed
	None    bool // the table has no row for this crew at this time of day
}

// Judge says whether the table allows the crew to fly under the sky. The
// margin is the fraction above a minimum that still counts as near, e.g. 0.25.
func (t Table) Judge(night bool, crew Crew, sky Sky, margin float64) Verdict {
	best := Verdict{None: true}
	bestMargin := math.Inf(-1)
	for _, row := range t.Rows {
		if !row.applies(night, crew) {
			continue
		}
		best.None = false
		over := row.over(sky)
		if over > bestMargin || math.IsInf(bestMargin, -1) {
			bestMargin = over
			best.Row = row
		}
	}
	best.Allowed = !best.None && bestMargin >= 0
	best.Near = best.Allowed && bestMargin < margin
	return best
}

func (r Row) applies(night bool, crew Crew) bool {
	return (r.When == "night") == night && (r.Pilots == 0 || r.Pilots == crew.Pilots) &&
		(!r.Aided || crew.Aided) && (r.Area == "" || r.Area == crew.Area)
}

// over is by what fraction the sky is better than the row, the worse of the
// two; -1 where one is not known.
func (r Row) over(sky Sky) float64 {
	if math.IsNaN(sky.CeilingM) || math.IsNaN(sky.VisibilityM) {
		return -1
	}
	return math.Min(sky.CeilingM/(r.CeilingFt*geo.Foot)-1, sky.VisibilityM/r.VisibilityM-1)
}

// String writes the row the way a desk reads it.
func (r Row) String() string {
	return fmt.Sprintf("%s %.0f ft and %.0f m", r.When, r.CeilingFt, r.VisibilityM)
}

//go:embed minima.json
var minimaJSON []byte

var shipped = sync.OnceValue(func() []Table {
	var doc struct {
		Minima []Table `json:"minima"`
	}
	dec := json.NewDecoder(bytes.NewReader(minimaJSON))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&doc); err != nil {
		panic("minima.json: " + err.Error()) // embedded: a fault of the build, caught by a test
	}
	return doc.Minima
})

// Tables returns the shipped tables in the order of the file.
func Tables() []Table { return slices.Clone(shipped()) }

// Find returns the table known by the id among the given ones.
func Find(tables []Table, id string) (Table, bool) {
	i := slices.IndexFunc(tables, func(t Table) bool { return t.ID == id })
	if i < 0 {
		return Table{}, false
	}
	return tables[i], true
}
