package folder

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities/store"
)

// Options are how a folder is kept. Only Names is needed.
type Options struct {
	Names    []string         // the files that make the region; others in the folder are left alone
	Check    store.Checker    // nil: every content can be used
	Now      func() time.Time // the clock that versions are dated by; nil: time.Now
	ReadOnly bool             // follow another process that writes, or a folder that cannot be written

	// Explain says what an edit by hand changed, and how many changes it leaves out;
	// nil: history does not say.
	Explain func(before, after map[string][]byte) (what []store.Change, more int)

	Every time.Duration // between looks at the folder, where the system does not tell of changes; 0: 500 ms
}

func (o Options) orDefault() (Options, error) {
	if o.Check == nil {
		o.Check = func(map[string][]byte) []store.Fault { return nil }
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Explain == nil {
		o.Explain = func(before, after map[string][]byte) ([]store.Change, int) { return nil, 0 }
	}
	if o.Every <= 0 {
		o.Every = 500 * time.Millisecond
	}
	o.Names = slices.Compact(slices.Sorted(slices.Values(o.Names)))
	if len(o.Names) == 0 {
		return o, fmt.Errorf("a region needs the name of a file")
	}
	for _, name := range o.Names {
		if name == "" || strings.HasPrefix(name, ".") || strings.ContainsAny(name, `/\`) || !filepath.IsLocal(name) || len(name) > 100 {
			return o, fmt.Errorf("%.60q cannot be the name of a region's file", name)
		}
	}
	return o, nil
}

// clock is the time of a new version.
func (o *Options) clock() time.Time { return o.Now().UTC().Round(0) }
