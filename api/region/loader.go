package region

import (
	"fmt"
	"sync"

	"surgeonward/facilities/store"
)

// FromFiles makes a region of its files by name, as Load does of a folder.
func FromFiles(files map[string][]byte) (*Region, Report) { return fromFiles(files, nil) }

func fromFiles(files map[string][]byte, before *Region) (*Region, Report) {
	var report Report
	usable := map[string][]byte{}
	for _, l := range longest {
		switch data, there := files[l.name]; {
		case !there || data == nil:
			if l.name != RoadsFile {
				report.missing(l.name)
			}
		case int64(len(data)) > l.most:
			report.fault(l.name, "the file cannot be read: it is longer than %d bytes", l.most)
		default:
			usable[l.name] = data
		}
	}
	return assemble(usable, before, report)
}

// Check says what keeps files from being a region. It is a store.Checker.
func Check(files map[string][]byte) []store.Fault {
	_, report := FromFiles(files)
	return report.StoreFaults()
}

// StoreFaults are the report's faults in the form stores have them.
func (report *Report) StoreFaults() []store.Fault {
	if len(report.Faults) == 0 {
		return nil
	}
	out := make([]store.Fault, len(report.Faults))
	for i, f := range report.Faults {
		out[i] = store.Fault{File: f.File, Element: f.Feature, Pointer: f.Pointer, Detail: f.Detail}
	}
	return out
}

// Loader makes regions of files that mostly stay the same. What it made last it
// gives again, and it takes over the roads of the region before where they have
// not changed, so that a store can check each edit and the region it makes can
// be served without being made twice. It is safe for concurrent use. Its zero
// value is ready.
type Loader struct {
	mu     sync.Mutex
	recent []loaded // the latest first
}

type loaded struct {
	key    string
	region *Region
	report Report
}

// maxRecent is how many regions a loader remembers: the one that is served, the
// one that an edit would make, and one that failed.
const maxRecent = 3

// Load makes a region of its files by name.
func (l *Loader) Load(files map[string][]byte) (*Region, Report) {
	key := keyOf(files)
	l.mu.Lock()
	var before *Region
	for _, r := range l.recent {
		if r.key == key {
			l.mu.Unlock()
			return r.region, r.report
		}
		if before == nil {
			before = r.region
		}
	}
	l.mu.Unlock()
	region, report := fromFiles(files, before)
	l.mu.Lock()
	defer l.mu.Unlock()
	l.recent = append([]loaded{{key, region, report}}, l.recent[:min(len(l.recent), maxRecent-1)]...)
	return region, report
}

// Check says what keeps files from being a region. It is a store.Checker.
func (l *Loader) Check(files map[string][]byte) []store.Fault {
	_, report := l.Load(files)
	return report.StoreFaults()
}

// keyOf identifies files by their content.
func keyOf(files map[string][]byte) string {
	key := ""
	for _, name := range Files() {
		if data, there := files[name]; there && data != nil {
			key += fmt.Sprintf("%s %s\n", name, store.Sum(data))
		}
	}
	return key
}
