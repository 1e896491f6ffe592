package postgres

import (
	"maps"
	"slices"
	"time"

	"surgeonward/api/job"
)

// Options are how a queue is run. Zero members take the defaults.
type Options struct {
	job.Options // Dir and Files count for nothing; Bytes is 1 GiB by default, Workers are those of this process

	Parts    map[string]job.Parts // kinds of jobs that fall into parts, besides those in Kinds
	PartTime time.Duration        // longest time of a part; 10 minutes
	AskOnly  bool                 // take jobs and tell of them, but work on none
}

func (o Options) orDefault() (Options, error) {
	whole := o.Kinds
	o.Kinds = maps.Clone(whole)
	if o.Kinds == nil {
		o.Kinds = map[string]job.Run{}
	}
	parts := maps.Clone(o.Parts)
	if parts == nil {
		parts = map[string]job.Parts{}
	}
	for kind := range parts {
		o.Kinds[kind] = nil // so that there is a kind at all
	}
	for _, kind := range slices.Sorted(maps.Keys(whole)) {
		parts[kind] = job.Whole(whole[kind])
	}
	o.Parts = parts
	if o.Bytes == 0 {
		o.Bytes = 1 << 30
	}
	if o.PartTime <= 0 {
		o.PartTime = 10 * time.Minute
	}
	var err error
	o.Options, err = o.OrDefault()
	return o, err
}
