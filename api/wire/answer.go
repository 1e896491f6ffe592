package wire

// Version is the version of the interface. Within it members are only added.
const Version = "v1"

// Answer is the JSON form of routing.Answer.
type Answer struct {
	Head
	Scene  Scene  `json:"scene"`
	Night  bool   `json:"night"`
	RankBy string `json:"rank_by"`
	Found  int    `json:"found"`
	// Sampled options were drawn; QuickestOther is the chance that one of them
	// that is not listed is the quickest.
	Sampled       int           `json:"sampled"`
	QuickestOther float64       `json:"quickest_other"`
	TargetS       float64       `json:"target_s,omitempty"` // as asked
	Cautions      []string      `json:"cautions"`
	Weather       []Weather     `json:"weather"`
	Options       []Option      `json:"options"`
	Until         []Deadline    `json:"until"`               // of the first option
	DecideBy      *Deadline     `json:"decide_by,omitempty"` // the earliest of Until
	RunnerUp      *RunnerUp     `json:"runner_up,omitempty"`
	Sensitivity   []Sensitivity `json:"sensitivity"` // of the first option, the greatest change first
	NotPossible   []NotPossible `json:"not_possible"`
}

// Region says whose hospitals and vehicles these are.
type Region struct {
	Name          string `json:"name"`
	Demonstration bool   `json:"demonstration"`
	Note          string `json:"note,omitempty"`
	StaleSince    string `json:"stale_since,omitempty"`
}

// DemonstrationNote is what every answer from an invented region says.
const DemonstrationNote = "Demonstration: this region, its hospitals, services and people are invented."

// Versions identify everything the answer was made from: the same versions and
// the same question give the same bytes.
type Versions struct {
	Engine     string `json:"engine"`
	Parameters string `json:"parameters"`
	Facilities string `json:"facilities"`
	Fleet      string `json:"fleet"`
	Roads      string `json:"roads,omitempty"` // a region without roads.geojson has none
}

// Scene is where the patient is, as it was understood.
type Scene struct {
	Position     [2]float64 `json:"position"`
	Format       string     `json:"format,omitempty"`
	UncertaintyM int64      `json:"uncertainty_m"`
	Facility     string     `json:"facility,omitempty"`
	Landing      string     `json:"landing,omitempty"`
	Winch        bool       `json:"winch,omitempty"`
}

// Duration is a spread in whole seconds.
type Duration struct {
	TypicalS int64 `json:"typical_s"`
	SlowS    int64 `json:"slow_s"`
}

// Option is one way from scene to surgeon.
type Option struct {
	Rank             int        `json:"rank"`
	ID               string     `json:"id"`
	Shape            string     `json:"shape"`
	Destination      Place      `json:"destination"`
	Assets           []string   `json:"assets"`
	Transfers        int        `json:"transfers"`
	Sentence         string     `json:"sentence"`
	HeldUpBy         string     `json:"held_up_by,omitempty"`
	Total            Duration   `json:"total"`
	Spread           Spread     `json:"spread"`
	LeaveSceneAt     string     `json:"leave_scene_at,omitempty"` // absent: has left, and nobody has said when
	LeaveSceneLocal  string     `json:"leave_scene_local,omitempty"`
	WithSurgeonAt    string     `json:"with_surgeon_at"`
	WithSurgeonLocal string     `json:"with_surgeon_local"`
	SinceLost        *Duration  `json:"since_output_lost,omitempty"` // to the surgeon; nil: not stated when
	SinceRegained    *Duration  `json:"since_output_regained,omitempty"`
	Meeting          *Place     `json:"meeting,omitempty"`
	FarField         *Place     `json:"far_field,omitempty"`
	Via              *Place     `json:"via,omitempty"`
	TeamFrom         *Place     `json:"team_from,omitempty"`
	Cautions         []string   `json:"cautions"`
	Activities       []Activity `json:"activities"`
}

// Spread is how an option's total varies, drawn. Chances are rounded to four
// decimals.
type Spread struct {
	P10S         int64    `json:"p10_s"` // 1 in 10 is quicker
	P50S         int64    `json:"p50_s"`
	P90S         int64    `json:"p90_s"`                   // 9 in 10 are quicker: the total's slow_s
	Quickest     float64  `json:"quickest"`                // the chance that no other option is quicker
	WithinTarget *float64 `json:"within_target,omitempty"` // the chance of at most target_s; nil: no target
}

// Place is a facility that an option ends at or passes.
type Place struct {
	Facility string     `json:"facility"`
	Name     string     `json:"name"`
	Position [2]float64 `json:"position"`
}

// Activity is one step of an option on the clock: start and end in seconds
// after the decision time, at typical durations.
type Activity struct {
	ID        string       `json:"id"`
	Kind      string       `json:"kind"`
	Lane      string       `json:"lane"`
	Asset     string       `json:"asset,omitempty"`
	After     []string     `json:"after"`
	StartS    int64        `json:"start_s"`
	EndS      int64        `json:"end_s"`
	SlowS     int64        `json:"slow_s"` // its length when it is slow
	SlackS    int64        `json:"slack_s"`
	Critical  bool         `json:"critical"`
	By        string       `json:"by,omitempty"` // travel: "road" or "air"
	DistanceM int64        `json:"distance_m,omitempty"`
	Path      [][2]float64 `json:"path,omitempty"` // travel: by air its ends, by road its corners too
	Basis     string       `json:"basis"`
}

// NotPossible is an asset and a destination that make no option, and why.
type NotPossible struct {
	Asset       string   `json:"asset"`
	Destination string   `json:"destination"`
	Shape       string   `json:"shape"`
	Reasons     []Reason `json:"reasons"`
}

// Reason is one thing that rules a way out.
type Reason struct {
	Code   string `json:"code"`
	Detail string `json:"detail"`
}
