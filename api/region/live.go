package region

import (
	"context"
	"errors"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"surgeonward/facilities/store"
)

// Live is a region that is edited while it answers. It follows a store, serves
// the newest version that can be used, and goes on serving it while the store
// cannot be reached. It is safe for concurrent use.
type Live struct {
	store   store.Store
	kept    string
	loader  *Loader
	now     func() time.Time
	editing chan struct{} // holds one token: edits of this process do not race each other
	index   index

	held    atomic.Pointer[State]
	mu      sync.Mutex // guards held's writers and changed
	changed chan struct{}
	ring    ring
}

// State is what a Live serves, at one moment.
type State struct {
	Region     *Region
	Version    store.Entry   // of the region; without its changes
	Rejected   []store.Fault // what is wrong with newer data that cannot be used
	StaleSince time.Time     // since when the store could not be reached; zero: it can

	refused int64 // number of a newer version that this program cannot use
}

// LiveConfig is what a Live is made of.
type LiveConfig struct {
	Store  store.Store
	Loader *Loader          // the one whose Check the store has; nil: one of its own
	Now    func() time.Time // when states expire; nil: time.Now
	Kept   string           // where edits are kept, in words for everybody
}

// NewLive serves the store's newest version. A *store.InvalidError has what
// keeps that from being used.
func NewLive(ctx context.Context, cfg LiveConfig) (*Live, error) {
	if cfg.Store == nil {
		return nil, errors.New("a live region needs a store")
	}
	l := &Live{store: cfg.Store, loader: cfg.Loader, now: cfg.Now, kept: cfg.Kept, editing: make(chan struct{}, 1), changed: make(chan struct{})}
	if l.loader == nil {
		l.loader = &Loader{}
	}
	if l.now == nil {
		l.now = time.Now
	}
	v, err := l.store.Current(ctx)
	if err != nil {
		return nil, err
	}
	r, report := l.loader.Load(v.Content)
	if r == nil {
		return nil, &store.InvalidError{Faults: report.StoreFaults()}
	}
	l.held.Store(&State{Region: r, Version: bare(&v.Entry), Rejected: l.store.Rejected()})
	l.index.note(v.Number, r.Hashes)
	return l, nil
}

// bare is an entry without its changes, which can be large.
func bare(e *store.Entry) store.Entry {
	out := *e
	out.What = nil
	return out
}

// Region returns what is served.
func (l *Live) Region() *Region { return l.held.Load().Region }

// State returns what is served and how sure it is.
func (l *Live) State() State { return *l.held.Load() }

// Watch returns the state, and a channel that is closed at its next change.
func (l *Live) Watch() (State, <-chan struct{}) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return *l.held.Load(), l.changed
}

// Kept says where edits are kept, in words.
func (l *Live) Kept() string { return l.kept }

// Warnings are what is odd in the region that is served.
func (l *Live) Warnings() []Fault { return l.held.Load().Region.warnings }

// Store returns the store that is followed.
func (l *Live) Store() store.Store { return l.store }

// update changes the state where change says that it did.
func (l *Live) update(change func(*State) bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	s := *l.held.Load()
	if !change(&s) {
		return
	}
	if !s.Region.StaleSince.Equal(s.StaleSince) {
		r := *s.Region // a region is never changed: answers may be using it
		r.StaleSince = s.StaleSince
		s.Region = &r
	}
	l.held.Store(&s)
	close(l.changed)
	l.changed = make(chan struct{})
}

// take serves a version if it is newer and can be used.
func (l *Live) take(v *store.Version) {
	if v.Number <= l.held.Load().Version.Number {
		return
	}
	r, report := l.loader.Load(v.Content)
	if r != nil {
		l.index.note(v.Number, r.Hashes)
	}
	l.ring.keep(&v.Entry)
	l.update(func(s *State) bool {
		switch {
		case v.Number <= s.Version.Number:
			return false
		case r == nil: // made by a program with other rules
			s.Rejected, s.refused = report.StoreFaults(), v.Number
		default:
			s.Region, s.Version, s.Rejected = r, bare(&v.Entry), l.store.Rejected()
		}
		return true
	})
}

// Run follows the store and lets states expire until ctx ends.
func (l *Live) Run(ctx context.Context) {
	var both sync.WaitGroup
	both.Go(func() { l.follow(ctx) })
	both.Go(func() { l.tick(ctx) })
	both.Wait()
}

// pause is how long to wait before a store that failed is asked again, and
// between two looks at the clock. A clock that is set forward is seen as soon;
// a timer for the next expiry would not see it.
const pause = time.Second

// patience is how long a store that does not answer is waited for, where no
// caller says how long: a connection that broke in silence gives no error for
// minutes.
const patience = 5 * time.Second

func (l *Live) follow(ctx context.Context) {
	for ctx.Err() == nil {
		since := l.held.Load().Version.Number
		err := l.store.Follow(ctx, since, func(int64) error { return l.catchUp(ctx) })
		if ctx.Err() != nil || errors.Is(err, store.ErrClosed) {
			return
		}
		l.lost()
		if !sleep(ctx, pause) {
			return
		}
		if l.catchUp(ctx) == nil {
			l.update(found)
		}
	}
}

// catchUp takes the newest version: those between it and the one that is served
// answer nothing any more.
func (l *Live) catchUp(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	v, err := l.store.Current(ctx)
	if err == nil {
		l.take(v)
	}
	return err
}

func (l *Live) lost() {
	l.update(func(s *State) bool {
		if !s.StaleSince.IsZero() {
			return false
		}
		s.StaleSince = l.now().UTC().Truncate(time.Second)
		return true
	})
}

func found(s *State) bool {
	was := !s.StaleSince.IsZero()
	s.StaleSince = time.Time{}
	return was
}

// tick looks once a second at what no store announces: files that were changed
// by hand and cannot be used, and the clock.
func (l *Live) tick(ctx context.Context) {
	for sleep(ctx, pause) {
		l.review()
		trying, cancel := context.WithTimeout(ctx, patience)
		_, _ = l.Expire(trying) // what fails now is tried again in a second
		cancel()
	}
}

func (l *Live) review() {
	rejected := l.store.Rejected()
	l.update(func(s *State) bool {
		if slices.Equal(rejected, s.Rejected) || len(rejected) == 0 && s.refused > s.Version.Number {
			return false
		}
		s.Rejected = rejected
		return true
	})
}

func sleep(ctx context.Context, d time.Duration) bool {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
		return true
	case <-ctx.Done():
		return false
	}
}

// Since is when the version that is served was made.
func (l *Live) Since() time.Time { return l.held.Load().Version.At }

// Faults is how much is wrong with newer data that is not served because of it.
func (l *Live) Faults() int { return len(l.held.Load().Rejected) }
