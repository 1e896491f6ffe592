package postgres

import (
	"context"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	database "surgeonward/facilities/store/postgres"
)

// channel is what every change of a job notifies, with the job's id; nothing: any may have
// changed. It belongs to the database, not to a schema: who listens asks what has changed.
const channel = "job_change"

// askEvery is how often who waits asks, whether or not there was a notification.
const askEvery = time.Second

// pulse is the connection by which others see that a process is alive, and by which it hears
// of changes.
type pulse struct {
	pool   *pgxpool.Pool
	number int64
	conn   *pgx.Conn // nil: broken

	mu      sync.Mutex
	waiting map[string]*listeners
}

// listeners wait for a change of one job.
type listeners struct {
	changed chan struct{} // closed at the next change
	n       int
}

func newPulse(pool *pgxpool.Pool, number int64) *pulse {
	return &pulse{pool: pool, number: number, waiting: map[string]*listeners{}}
}

// begin takes a connection out of the pool for good.
func (p *pulse) begin(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
	defer cancel()
	held, err := p.pool.Acquire(ctx)
	if err != nil {
		return database.Fault("connect", err)
	}
	p.conn = held.Hijack()
	for _, sql := range []string{
		// a machine that is lost is noticed after 10 + 3 * 5 seconds
		`SET tcp_keepalives_idle = 10`, `SET tcp_keepalives_interval = 5`, `SET tcp_keepalives_count = 3`,
		`LISTEN ` + channel,
	} {
		if err == nil {
			_, err = p.conn.Exec(ctx, sql)
		}
	}
	if err == nil { // whoever looks whether this process is alive holds it for a moment
		_, err = p.conn.Exec(ctx, `SELECT pg_advisory_lock($1)`, p.number)
	}
	if err != nil {
		p.end()
		return database.Fault("connect", err)
	}
	return nil
}

// end closes the connection. Only the goroutine that runs the pulse may call it, or who knows
// that none does.
func (p *pulse) end() {
	if p.conn == nil {
		return
	}
	closing, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	_ = p.conn.Close(closing) // it is given up either way
	p.conn = nil
}

// run tells of changes until ctx ends.
func (p *pulse) run(ctx context.Context) {
	for ctx.Err() == nil {
		if p.conn == nil {
			if p.begin(ctx) != nil {
				pause(ctx)
				continue
			}
			p.wake("") // nobody knows what was missed
		}
		told, err := p.conn.WaitForNotification(ctx)
		switch {
		case err == nil:
			p.wake(told.Payload)
		case ctx.Err() == nil:
			p.end()
		}
	}
}

// listen returns a channel that is closed at the job's next change, and what to call in the
// end.
func (p *pulse) listen(id string) (<-chan struct{}, func()) {
	p.mu.Lock()
	defer p.mu.Unlock()
	l := p.waiting[id]
	if l == nil {
		l = &listeners{changed: make(chan struct{})}
		p.waiting[id] = l
	}
	l.n++
	return l.changed, func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		if l.n--; l.n == 0 && p.waiting[id] == l {
			delete(p.waiting, id)
		}
	}
}

// wake wakes those who wait for a change of a job, or, without an id, everybody.
func (p *pulse) wake(id string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for of, l := range p.waiting {
		if id == "" || id == of {
			close(l.changed)
			delete(p.waiting, of)
		}
	}
}

// pause waits for as long as askEvery says; false: ctx has ended.
func pause(ctx context.Context) bool {
	timer := time.NewTimer(askEvery)
	defer timer.Stop()
	select {
	case <-timer.C:
		return true
	case <-ctx.Done():
		return false
	}
}
