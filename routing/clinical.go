package routing

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities/strictjson"
)

// Clinical is what the caller says of the patient for the pre-alert. Every
// field is a number, a time or a word of a fixed list, so that no identity can
// hide in it. What is nil, zero or empty is not stated, and stays so.
type Clinical struct {
	AgeYears   *float64  // 0 to 130
	IncidentAt time.Time // zero: not stated
	Mechanism  string    // one of Mechanisms; empty: not stated
	Injuries   []string  // of InjuryRegions; empty: not stated
	Signs      Signs
	Treatment  Treatment
}

// Signs are the vital signs, whole numbers; nil: not stated.
type Signs struct {
	HeartRatePerMin       *float64 // 0 to 300
	SystolicMmHg          *float64 // 0 to 300
	RespiratoryRatePerMin *float64 // 0 to 100
	SpO2Percent           *float64 // 0 to 100
	GCS                   *float64 // 3 to 15
	Output                string   // OutputPresent, OutputLost or OutputRegained; empty: not stated
	OutputLostAt          time.Time
	OutputRegainedAt      time.Time
}

// What is known of the heart's output.
const (
	OutputPresent  = "present"  // never lost
	OutputLost     = "lost"     // at OutputLostAt, and not since regained
	OutputRegained = "regained" // after having been lost
)

// Treatment is what has been done. Given is empty where nobody has said;
// where nothing was done it holds the one word "none".
type Treatment struct {
	Given      []string // of Treatments
	BloodUnits *float64 // 0 to 100, in halves
}

// noTreatment stands alone.
const noTreatment = "none"

// term is a word of a fixed list with the way it is spoken.
type term struct{ word, spoken string }

var mechanisms = []term{
	{"stab", "stab"}, {"gunshot", "gunshot"}, {"blunt_fall", "fall"}, {"blunt_traffic", "traffic"},
	{"crush", "crush"}, {"blast", "blast"}, {"burn", "burn"}, {"other", "other"},
}

var injuryRegions = []term{
	{"chest_left", "chest left"}, {"chest_right", "chest right"}, {"chest_central", "chest central"},
	{"abdomen", "abdomen"}, {"neck", "neck"}, {"head", "head"}, {"pelvis", "pelvis"}, {"limb", "limb"},
}

// treatments in the order in which they are told: what changes most for the
// receiving team comes first, and what does not fit is cut from the end.
var treatments = []term{
	{noTreatment, "none"}, {"chest_opened", "chest opened"}, {"cpr", "CPR"}, {"intubated", "intubated"},
	{"chest_drain", "chest drain"}, {"chest_decompressed", "chest decompressed"}, {"tourniquet", "tourniquet"},
	{"pelvic_binder", "pelvic binder"}, {"wound_packed", "wound packed"}, {"tranexamic_acid", "tranexamic acid"},
	{"calcium", "calcium"}, {"defibrillated", "defibrillated"}, {"airway_adjunct", "airway adjunct"},
	{"oxygen", "oxygen"}, {"iv_access", "IV access"},
}

var outputs = []term{{OutputPresent, "present"}, {OutputLost, "lost"}, {OutputRegained, "regained"}}

// Mechanisms returns the words for what happened.
func Mechanisms() []string { return words(mechanisms) }

// InjuryRegions returns the words for where the injuries are.
func InjuryRegions() []string { return words(injuryRegions) }

// Treatments returns the words for what has been done; "none" stands alone.
func Treatments() []string { return words(treatments) }

func words(terms []term) (out []string) {
	for _, t := range terms {
		out = append(out, t.word)
	}
	return out
}

// spoken are the terms that were given, in the order of the list.
func spoken(terms []term, given []string) (out []string) {
	for _, t := range terms {
		if slices.Contains(given, t.word) {
			out = append(out, t.spoken)
		}
	}
	return out
}

// Check returns everything that is wrong at once. Pointers lead into the JSON
// form: age_years, incident_at, mechanism, injuries, signs/heart_rate_per_min,
// signs/systolic_mmhg, signs/respiratory_rate_per_min, signs/spo2_percent,
// signs/gcs, signs/output, signs/output_lost_at, signs/output_regained_at,
// treatment/given and treatment/blood_units.
func (c Clinical) Check() []strictjson.Fault {
	k := &checker{}
	k.within("/age_years", c.AgeYears, 0, 130, 0)
	k.known("/mechanism", c.Mechanism, words(mechanisms))
	k.list("/injuries", c.Injuries, words(injuryRegions))
	for _, n := range c.Signs.numbers() {
		k.within(n.pointer, n.value, n.from, n.to, 1)
	}
	k.output(&c.Signs)
	k.list("/treatment/given", c.Treatment.Given, words(treatments))
	k.within("/treatment/blood_units", c.Treatment.BloodUnits, 0, 100, 0.5)
	if slices.Contains(c.Treatment.Given, noTreatment) {
		if len(c.Treatment.Given) > 1 {
			k.fault("/treatment/given", "%q stands alone: leave it out where something was done", noTreatment)
		}
		if b := c.Treatment.BloodUnits; b != nil && *b > 0 {
			k.fault("/treatment/blood_units", "blood was given: leave %q out of given", noTreatment)
		}
	}
	return strictjson.Sort(k.faults)
}

// sign is one number of the signs with its range and the way it is spoken.
type sign struct {
	pointer, spoken string
	value           *float64
	from, to        float64
}

func (s *Signs) numbers() []sign {
	return []sign{
		{"/signs/heart_rate_per_min", "heart rate", s.HeartRatePerMin, 0, 300},
		{"/signs/systolic_mmhg", "systolic", s.SystolicMmHg, 0, 300},
		{"/signs/respiratory_rate_per_min", "respirations", s.RespiratoryRatePerMin, 0, 100},
		{"/signs/spo2_percent", "saturation", s.SpO2Percent, 0, 100},
		{"/signs/gcs", "GCS", s.GCS, 3, 15},
	}
}

// output checks that state and times do not contradict each other.
func (c *checker) output(s *Signs) {
	c.known("/signs/output", s.Output, words(outputs))
	lost, regained := !s.OutputLostAt.IsZero(), !s.OutputRegainedAt.IsZero()
	switch {
	case s.Output == "" && (lost || regained):
		c.fault("/signs/output", "is missing beside its times: use one of %s", strings.Join(words(outputs), ", "))
	case s.Output == OutputPresent && (lost || regained):
		c.fault("/signs/output", "output that was lost is not present but regained")
	case s.Output == OutputLost && lost && regained && !s.OutputRegainedAt.Before(s.OutputLostAt):
		c.fault("/signs/output", "output was regained after it was last lost: use %q, or correct the times", OutputRegained)
	case s.Output == OutputLost && !lost && regained:
		c.fault("/signs/output_lost_at", "is missing: output was regained, and has been lost since")
	case s.Output == OutputRegained && lost && regained && s.OutputRegainedAt.Before(s.OutputLostAt):
		c.fault("/signs/output_regained_at", "is before output was lost")
	}
}

// within checks a number's range and that it is a multiple of the step; step 0
// asks for none.
func (c *checker) within(pointer string, v *float64, from, to, step float64) {
	switch {
	case v == nil:
	case !(*v >= from && *v <= to):
		c.fault(pointer, "must be from %g to %g", from, to)
	case step == 1 && *v != float64(int(*v)):
		c.fault(pointer, "must be a whole number")
	case step > 0 && *v/step != float64(int(*v/step)):
		c.fault(pointer, "must be a multiple of %g", step)
	}
}

// known checks a word against a list; an empty word is not stated.
func (c *checker) known(pointer, word string, list []string) {
	if word != "" && !slices.Contains(list, word) {
		c.fault(pointer, "unknown word %s%s: use one of %s", strictjson.Quote(word), c.nearest(word, list), strings.Join(list, ", "))
	}
}

func (c *checker) list(pointer string, given, list []string) {
	if len(given) > len(list) {
		c.fault(pointer, "must have at most %d words, each once", len(list))
		return
	}
	for i, word := range given {
		at := fmt.Sprintf("%s/%d", pointer, i)
		switch {
		case word == "":
			c.fault(at, "is empty: use one of %s", strings.Join(list, ", "))
		case slices.Contains(given[:i], word):
			c.fault(at, "%s is given twice", strictjson.Quote(word))
		default:
			c.known(at, word, list)
		}
	}
}
