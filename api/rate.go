package api

import (
	"fmt"
	"math"
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"surgeonward/api/access"
)

// Rate is how much one caller may ask: so many requests a second on average,
// and so many at once after a rest. The zero value sets no limit.
type Rate struct {
	PerSecond float64
	Burst     int
}

// DefaultRate leaves a desk with several screens far from it, and keeps one
// program that has run wild from taking the service from everybody else.
var DefaultRate = Rate{PerSecond: 50, Burst: 200}

// maxCallers is how many callers are told apart at a time, those with a name
// and those with an address each.
const maxCallers = 10_000

// meters limits callers: by name where they are known, else by address.
type meters struct {
	rate             Rate
	now              func() time.Time
	names, addresses buckets
}

func newMeters(r Rate, now func() time.Time) *meters {
	return &meters{rate: r, now: now, names: buckets{}, addresses: buckets{}}
}

// buckets are the allowances of callers. Its size is bounded: those that are
// full again go first, then all, which forgives each caller once.
type buckets struct {
	mu   sync.Mutex
	each map[string]*rate.Limiter
}

// take takes one request out of a caller's allowance, or says how long to wait.
func (b *buckets) take(key string, r Rate, now time.Time) (wait time.Duration) {
	b.mu.Lock()
	defer b.mu.Unlock()
	l := b.each[key]
	if l == nil {
		if len(b.each) >= maxCallers {
			b.sweep(now)
		}
		if b.each == nil {
			b.each = map[string]*rate.Limiter{}
		}
		l = rate.NewLimiter(rate.Limit(r.PerSecond), r.Burst)
		b.each[key] = l
	}
	if l.AllowN(now, 1) {
		return 0
	}
	missing := 1 - l.TokensAt(now)
	return time.Duration(math.Ceil(missing / r.PerSecond * float64(time.Second)))
}

func (b *buckets) sweep(now time.Time) {
	for key, l := range b.each {
		if l.TokensAt(now) >= float64(l.Burst()) {
			delete(b.each, key)
		}
	}
	if len(b.each) >= maxCallers {
		clear(b.each)
	}
}

// meter takes one request out of the caller's allowance. This machine's own
// programs have no limit where there is no access control.
func (s *service) meter(who access.Who, address string) error {
	if s.meters == nil {
		return nil
	}
	m := s.meters
	b, key := &m.names, who.Name
	if who == (access.Who{}) || who == access.Local {
		network, loopback := networkOf(address)
		if who == access.Local && loopback {
			return nil
		}
		b, key = &m.addresses, network
	}
	wait := b.take(key, m.rate, m.now())
	if wait == 0 {
		return nil
	}
	seconds := max(1, int(math.Ceil(wait.Seconds())))
	return &problem{kind: tooMany, retryS: seconds,
		detail: fmt.Sprintf("more than %g requests a second: wait %d s", m.rate.PerSecond, seconds)}
}

// networkOf is the address that stands for a caller: of IPv6 the first 64 bits,
// of which one machine may use every address.
func networkOf(address string) (network string, loopback bool) {
	a, err := netip.ParseAddr(address)
	if err != nil {
		return "", false
	}
	a = a.Unmap()
	bits := 32
	if a.Is6() {
		bits = 64
	}
	p, err := a.WithZone("").Prefix(bits)
	if err != nil {
		return "", false
	}
	return p.String(), a.IsLoopback()
}
