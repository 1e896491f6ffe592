package wire

import (
	"encoding/json"
	"strings"
	"time"

	"surgeonward/api/region"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing/coverage"
)

// Change is a region as it would be, and the same situations there.
type Change struct {
	Name       string // what people call it; may be empty
	Region     *region.Region
	Situations []coverage.Situation
}

// maxChangeFaults is how many faults of a change are told.
const maxChangeFaults = 50

// change makes the region as it would be, and asks the question of it too. What the
// region of today refuses is not said a second time.
func (b *builder) change(question member, now time.Time) *Change {
	m := question.get("change")
	if !m.given() || b.at(m.pointer) {
		return nil
	}
	text, err := json.Marshal(m.value)
	if err != nil {
		b.fault(m, "%s", err)
		return nil
	}
	changed, name, report := b.region.With(text)
	for i, f := range report.Faults {
		if i == maxChangeFaults {
			b.fault(m, "and %d faults more", len(report.Faults)-i)
			break
		}
		b.faults = append(b.faults, strictjson.Fault{Pointer: m.pointer + f.Pointer, Detail: f.Detail})
	}
	if changed == nil || len(b.faults) > 0 {
		return nil
	}
	out := &Change{Name: name, Region: changed}
	there := &builder{region: changed}
	for _, item := range first(question.get("situations").items(), maxSituations) {
		out.Situations = append(out.Situations, there.situation(item, now))
	}
	there.calls(question.get("busy"))
	for _, f := range there.faults {
		b.faults = append(b.faults, strictjson.Fault{Pointer: f.Pointer, Detail: "with the change: " + f.Detail})
	}
	return out
}

// at reports whether there is a fault at a member or in it.
func (b *builder) at(pointer string) bool {
	for _, f := range b.faults {
		if f.Pointer == pointer || strings.HasPrefix(f.Pointer, pointer+"/") {
			return true
		}
	}
	return false
}
