package job

import (
	"errors"
	"fmt"
	"time"

	"surgeonward/facilities/disk"
)

// Options are how a queue is run. Zero members take the defaults.
type Options struct {
	Kinds map[string]Run // what can be asked for, by name; required
	Dir   string         // folder; empty: jobs and results are kept in memory and end with the process

	Workers  int           // jobs that run at a time; 1
	Waiting  int           // jobs that may wait; 16
	Each     int           // jobs of one owner that may wait or run; Waiting
	Time     time.Duration // longest time of one run; 1 hour
	Age      time.Duration // how long a job is kept after its end; 7 days
	Kept     int           // jobs that are kept after their end; 500
	Bytes    int64         // of all results that are kept; 1 GiB in a folder, 128 MiB in memory
	JobBytes int64         // of one job's results; a quarter of Bytes

	Now     func() time.Time             // the clock; time.Now
	Trouble func(id string, cause error) // told of errors that nobody is shown; may be nil
	Files   disk.FileSystem              // of the folder; the machine's
}

// The limits that are not options.
const (
	MaxRequest = 4 << 20 // bytes of a request
	MaxName    = 64      // characters of a result's name
	MaxFiles   = 400     // results of a job
	MaxStarts  = 3       // how often a job is begun
)

// OrDefault is the options with their defaults, and what is wrong with them.
func (o Options) OrDefault() (Options, error) {
	setDefault(&o.Workers, 1)
	setDefault(&o.Waiting, 16)
	setDefault(&o.Each, o.Waiting)
	setDefault(&o.Time, time.Hour)
	setDefault(&o.Age, 7*24*time.Hour)
	setDefault(&o.Kept, 500)
	if o.Dir == "" {
		setDefault(&o.Bytes, 128<<20)
	}
	setDefault(&o.Bytes, 1<<30)
	setDefault(&o.JobBytes, o.Bytes/4)
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Trouble == nil {
		o.Trouble = func(string, error) {}
	}
	if o.Files == nil {
		o.Files = disk.Machine{}
	}
	var faults []error
	if len(o.Kinds) == 0 {
		faults = append(faults, errors.New("the queue has no kinds of jobs: set Options.Kinds"))
	}
	for _, n := range []struct {
		name  string
		value int64
	}{
		{"workers", int64(o.Workers)}, {"waiting", int64(o.Waiting)}, {"jobs of each", int64(o.Each)}, {"time", int64(o.Time)},
		{"age", int64(o.Age)}, {"kept", int64(o.Kept)}, {"bytes", o.Bytes}, {"bytes of a job", o.JobBytes},
	} {
		if n.value < 0 {
			faults = append(faults, fmt.Errorf("%s is %d, not more than 0", n.name, n.value))
		}
	}
	if o.JobBytes > o.Bytes {
		faults = append(faults, fmt.Errorf("one job's %d bytes are more than the %d of all", o.JobBytes, o.Bytes))
	}
	return o, errors.Join(faults...)
}

func setDefault[T int | int64 | time.Duration](value *T, to T) {
	if *value == 0 {
		*value = to
	}
}
