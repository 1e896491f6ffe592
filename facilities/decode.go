package facilities

import (
	"fmt"
	"time"

	"surgeonward/facilities/strictjson"
)

// DecodeOptions bound and complete what a file says.
type DecodeOptions struct {
	Zone        *time.Location // where a facility names no time zone; nil: UTC, with a warning where it matters
	MaxFeatures int            // 0: DefaultMaxFeatures
	MaxBytes    int            // 0: DefaultMaxBytes
}

// The default bounds of a file, far above what one region has.
const (
	DefaultMaxFeatures = 10_000
	DefaultMaxBytes    = 32 << 20
)

// What a file may hold beyond its features' number and its length in bytes. A hospital
// with all its rotas has some 100 values; the least suits short lists with much else in them.
const (
	maxDepth         = 32
	valuesPerFeature = 200
	leastValues      = 100_000
)

// Decode reads a facility file. The errors are all that keeps it from being used, at
// most 200 of them; the list is nil exactly if there is one. The warnings are what is
// odd but usable. Both are in the order of the file.
//
// Nothing is judged by the present time: an accepting state whose end has passed is
// no fault.
func Decode(data []byte, opt DecodeOptions) (list *List, errs, warnings []Fault) {
	schema, err := compiledSchemas()
	if err != nil {
		return nil, []Fault{{Detail: err.Error()}}, nil
	}
	d := newDecoder(schema, opt)
	limits := strictjson.Limits{Bytes: d.opt.MaxBytes, Depth: maxDepth, Values: max(leastValues, valuesPerFeature*d.opt.MaxFeatures)}
	rest, unreadable, whole := strictjson.Stream(data, limits, "/features", d.feature)
	if whole {
		d.collection(rest)
		d.crossCheck()
	} else {
		// the features read so far may be the beginning of anything
		d.errs, d.warnings = faultList{}, faultList{}
	}
	d.addUnreadable(unreadable)
	errs, warnings = d.errs.report(), d.warnings.report()
	if len(errs) > 0 {
		return nil, errs, warnings
	}
	return newList(data, d.facilities), nil, warnings
}

// addUnreadable adds the faults of values that could not be read, in place of what
// was found about the stand-ins for these values.
func (d *decoder) addUnreadable(faults []strictjson.Fault) {
	spoiled := map[string]bool{}
	for _, f := range faults {
		spoiled[f.Pointer] = true
	}
	found := d.errs.except(spoiled)
	d.warnings = *d.warnings.except(spoiled)
	d.errs = faultList{dropped: found.dropped}
	for _, f := range faults {
		d.errs.add(Fault{Feature: d.featureAt(f.Pointer), Pointer: f.Pointer, Detail: f.Detail})
	}
	for _, f := range found.kept {
		d.errs.add(f)
	}
}

// decoder gathers what the features say while they are read one by one.
type decoder struct {
	schema     schemas
	opt        DecodeOptions
	errs       faultList
	warnings   faultList
	ids        []string                  // by position in the file, "" where unreadable
	places     []node                    // of the readable facilities, in the order of facilities
	facilities []*Facility               // readable ones, in the order of the file
	zones      map[string]*time.Location // by name, nil where unknown
}

func newDecoder(schema schemas, opt DecodeOptions) *decoder {
	if opt.MaxFeatures <= 0 {
		opt.MaxFeatures = DefaultMaxFeatures
	}
	if opt.MaxBytes <= 0 {
		opt.MaxBytes = DefaultMaxBytes
	}
	return &decoder{schema: schema, opt: opt, zones: map[string]*time.Location{}}
}

// featureAt returns the id of the feature that a pointer leads into.
func (d *decoder) featureAt(pointer string) string {
	var i int
	if n, _ := fmt.Sscanf(pointer, "/features/%d", &i); n == 1 && i >= 0 && i < len(d.ids) {
		return d.ids[i]
	}
	return ""
}
