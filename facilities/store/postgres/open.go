package postgres

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"sync"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

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
	config, err := pgxpool.ParseConfig(database)
	if err != nil {
		// pgx's own text quotes the connection string
		return nil, errors.New("the database's address cannot be read: write postgres://user@host/name, the password in PGPASSWORD or a password file")
	}
	config.ConnConfig.ConnectTimeout = connectTimeout
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, fault("connect", err)
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

func (s *Store) migrate(ctx context.Context) (err error) {
	ctx, cancel := context.WithTimeout(ctx, migrateTimeout)
	defer cancel()
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	db := stdlib.OpenDBFromPool(s.pool)
	defer func() { err = errors.Join(err, db.Close()) }()
	// another process that migrates is done within moments
	locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, uint64(migrateTimeout/time.Second)))
	if err != nil {
		return err
	}
	provider, err := goose.NewProvider(goose.DialectPostgres, db, files,
		goose.WithSessionLocker(locker), goose.WithTableName("region_migration"))
	if err != nil {
		return err
	}
	// A newer program may have made tables that this one does not know.
	have, err := provider.GetDBVersion(ctx)
	if err != nil {
		return err
	}
	sources := provider.ListSources()
	if newest := sources[len(sources)-1].Version; have > newest {
		return fmt.Errorf("the tables are of version %d, this program knows %d: use a newer program", have, newest)
	}
	_, err = provider.Up(ctx)
	return err
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
