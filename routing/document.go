package routing

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
)

// findings are the faults and warnings of one document.
type findings struct{ faults, warnings []strictjson.Fault }

func (f *findings) fault(at, format string, args ...any) {
	f.faults = append(f.faults, strictjson.Fault{Pointer: at, Detail: fmt.Sprintf(format, args...)})
}

func (f *findings) warn(at, format string, args ...any) {
	f.warnings = append(f.warnings, strictjson.Fault{Pointer: at, Detail: fmt.Sprintf(format, args...)})
}

// report returns both in order of pointer, at most maxReported of each.
func (f *findings) report() (faults, warnings []strictjson.Fault) {
	return cut(strictjson.Sort(f.faults)), cut(strictjson.Sort(f.warnings))
}

// maxReported is how many faults are reported; more help nobody.
const maxReported = 200

func cut(faults []strictjson.Fault) []strictjson.Fault {
	if more := len(faults) - maxReported; more > 0 {
		last := strictjson.Fault{Detail: fmt.Sprintf("%d more are not shown: correct these first", more)}
		return append(faults[:maxReported:maxReported], last)
	}
	return faults
}

// refused returns the pointers of all values that have a fault in them so far.
func (f *findings) refused() map[string]bool {
	out := map[string]bool{}
	for _, fault := range f.faults {
		for at := fault.Pointer; at != "" && !out[at]; at = at[:max(0, strings.LastIndexByte(at, '/'))] {
			out[at] = true
		}
	}
	return out
}

// read checks data against the schema and returns its root. A document whose
// text is sound but which fails the schema is returned all the same, so that
// the faults a schema cannot see are found in the same pass.
func (f *findings) read(data []byte, schema *strictjson.Schema) (root member, ok bool) {
	value, faults := schema.Check(data, fileLimits)
	f.faults = append(f.faults, faults...)
	if len(faults) > 0 {
		if value, faults = strictjson.Parse(data, fileLimits); len(faults) > 0 {
			return member{}, false
		}
	}
	return member{value: value}, true
}

// fileLimits bound a fleet or settings file: a thousand assets in full are
// well within them.
var fileLimits = strictjson.Limits{Bytes: 8 << 20, Values: 500_000}

// member is a value of a decoded document with its JSON Pointer. Its methods
// give the zero value for what is missing or of another type: the schema
// reports that.
type member struct {
	value   any
	pointer string
}

func (m member) get(name string) member {
	object, _ := m.value.(map[string]any)
	return member{object[name], m.pointer + strictjson.Pointer(name)}
}

func (m member) given() bool { return m.value != nil }

// names lists the members of an object in order, without those that start
// with "x_", which belong to whoever edits the file.
func (m member) names() []string {
	object, _ := m.value.(map[string]any)
	return slices.DeleteFunc(slices.Sorted(maps.Keys(object)), func(name string) bool {
		return strings.HasPrefix(name, "x_")
	})
}

func (m member) items() []member {
	array, _ := m.value.([]any)
	out := make([]member, len(array))
	for i, v := range array {
		out[i] = member{v, fmt.Sprintf("%s/%d", m.pointer, i)}
	}
	return out
}

func (m member) text() string {
	s, _ := m.value.(string)
	return s
}

func (m member) truth() bool {
	b, _ := m.value.(bool)
	return b
}

func (m member) number() float64 {
	n, _ := m.value.(float64)
	return n
}

// timing reads {"typical_s", "slow_s"}; nil where there is none.
func (f *findings) timing(m member) *facilities.Timing {
	if !m.given() {
		return nil
	}
	t := facilities.Timing{TypicalS: m.get("typical_s").number(), SlowS: m.get("slow_s").number()}
	if m.get("typical_s").given() && m.get("slow_s").given() && t.SlowS < t.TypicalS {
		f.fault(m.pointer+"/slow_s", "slow_s %v is less than typical_s %v: slow is the time that 9 in 10 stay under", t.SlowS, t.TypicalS)
	}
	return &t
}

// zone reads the name of a time zone; nil where there is none or it is unknown.
func (f *findings) zone(m member) *time.Location {
	name := m.text()
	if name == "" {
		return nil
	}
	// "Local" is the machine's own zone: the same file would mean different
	// hours on different machines.
	zone, err := time.LoadLocation(name)
	if err != nil || name == "Local" {
		f.fault(m.pointer, "unknown time zone %s: use a name of the tz database such as \"Atlantic/Azores\"", strictjson.Quote(name))
		return nil
	}
	return zone
}

// position reads [longitude, latitude]; nil where it is none.
func (f *findings) position(m member) *orb.Point {
	numbers := m.items()
	if len(numbers) != 2 {
		return nil // the schema says so
	}
	for _, n := range numbers {
		if _, ok := n.value.(float64); !ok {
			return nil
		}
	}
	p := orb.Point{numbers[0].number(), numbers[1].number()}
	if err := geo.Check(p); err != nil {
		f.fault(m.pointer, "%s", err)
		return nil
	}
	return &p
}
