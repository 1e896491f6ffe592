package calibrate

import "time"

// Result is everything the journeys say.
type Result struct {
	Journeys int       `json:"journeys"`       // rows read
	From     time.Time `json:"from"`           // start of the first
	To       time.Time `json:"to"`             // start of the last
	Untimed  []int     `json:"untimed"`        // rows of travel too short to say anything, or that the model cannot time
	Unknown  []string  `json:"unknown_assets"` // named by journeys but not in fleet.json: timed by the region's figures
	Findings []Finding `json:"findings"`       // by stage, the region first
	Totals   []Total   `json:"totals"`
	Patch    Patch     `json:"patch"` // to settings.json, RFC 7396: proposed, applied by a person
}

// Group says which journeys a finding is about.
type Group struct {
	By     string   `json:"by"`     // "region", "area", "light" or "asset"
	Value  string   `json:"value"`  // the area's, "day" or "night", the asset's; empty for the region
	Pooled []string `json:"pooled"` // the values put together because each has fewer than MinGroup journeys
}

// The values of Group.By.
const (
	ByRegion = "region"
	ByArea   = "area"
	ByLight  = "light"
	ByAsset  = "asset"
)

// Finding is what the journeys of one stage and group say.
type Finding struct {
	Stage     string     `json:"stage"`
	Aircraft  string     `json:"aircraft,omitempty"` // kind: travel_air only
	Group     Group      `json:"group"`
	Journeys  int        `json:"journeys"`
	OutOfLine []int      `json:"out_of_line"` // rows that are in the scores but not in the figures
	Estimates []Estimate `json:"estimates"`
	Now       Score      `json:"now"`       // by the figures in force
	Fitted    *Score     `json:"fitted"`    // by fitted figures, on journeys they were not fitted to; nil: nothing was fitted
	ByRegion  *Score     `json:"by_region"` // of a group: by the region's fitted figures, on journeys those were not fitted to
	Proposed  bool       `json:"proposed"`
	BelongsIn string     `json:"belongs_in"` // the file that can hold the figures; empty: none can
	Notes     []string   `json:"notes"`
}

// Score says how far figures are off.
type Score struct {
	MedianErrorS     float64  `json:"median_error_s"`     // half of the journeys are off by less, either way
	MedianErrorShare float64  `json:"median_error_share"` // the same as a share of the typical figure
	Ratio            float64  `json:"ratio"`              // median of actual over typical: 1 is right
	RatioInterval    Interval `json:"ratio_interval"`
	Loss             float64  `json:"loss"` // quantile loss of both figures in logarithms: lower is better
	WithinSlow       *Share   `json:"within_slow"`

	losses []float64 // of each journey
}

// Total is how long journeys with the same stages took from the first start to
// the last end. It is taken from whole journeys. The medians of the stages do
// not add up to it, because the median of a sum is not the sum of medians, and
// stages may run side by side.
type Total struct {
	Stages          []string  `json:"stages"`
	Journeys        int       `json:"journeys"`
	TypicalS        float64   `json:"typical_s"`
	TypicalInterval Interval  `json:"typical_interval"`
	SlowS           float64   `json:"slow_s"`
	SlowInterval    Interval  `json:"slow_interval"`
	MedianOfStagesS []float64 `json:"median_of_stages_s"` // in the order of Stages, for comparison only
}
