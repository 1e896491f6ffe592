package postgres

import (
	"context"
	"embed"
	"io/fs"
	"sync"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"

	"surgeonward/facilities/store"
)

//go:embed migrations/*.sql
var migrations embed.FS

// Options are how a store is opened.
type Options struct {
	Names []string         // the files a region may have
	Check store.Checker    // what a commit must pass; nil: anything
	Now   func() time.Time // the clock of Entry.At; nil: time.Now
}

// Store is a region in a database.
type Store struct {
	pool   *pgxpool.Pool
	opts   Options
	closed context.Context // ends when the store is closed
	end    context.CancelFunc

	mu   sync.Mutex
	kept map[store.Hash][]byte // contents of the newest version that was read
}

// The bounds on waiting for a database that does not answer.
const (
	connectTimeout = 5 * time.Second
	migrateTimeout = time.Minute
)

// Open connects to the database that a URL or a list of key=value words names
// and brings its tables up to date. Its errors never hold the password.
func Open(ctx context.Context, database string, opts Options) (*Store, error) {
	pool, err := Connect(ctx, database, 0)
	if err != nil {
		return nil, err
	}
	s := &Store{pool: pool, opts: opts, kept: map[store.Hash][]byte{}}
	s.closed, s.end = context.WithCancel(context.Background())
	if s.opts.Check == nil {
		s.opts.Check = func(map[string][]byte) []store.Fault { return nil }
	}
	if s.opts.Now == nil {
		s.opts.Now = time.Now
	}
	if err := s.migrate(ctx); err != nil {
		s.end()
		pool.Close()
		return nil, fault("prepare the tables", err)
	}
	return s, nil
}

func (s *Store) migrate(ctx context.Context) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	return Migrate(ctx, s.pool, "region_migration", files)
}

// Rejected returns nil: nobody edits a database by hand.
func (s *Store) Rejected() []store.Fault { return nil }

// Close ends what follows and closes every connection.
func (s *Store) Close() error {
	s.end()
	s.pool.Close()
	return nil
}

// usable says why nothing can be done now.
func (s *Store) usable(ctx context.Context) error {
	if s.closed.Err() != nil {
		return store.ErrClosed
	}
	return ctx.Err()
}

// String says where edits are kept.
func (s *Store) String() string { return "in a PostgreSQL database" }
