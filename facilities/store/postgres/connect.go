package postgres

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
)

// Connect returns connections to the database that a URL or a list of key=value words names,
// at most so many at a time; 0: as many as the address says. Its errors never hold the password.
func Connect(ctx context.Context, database string, most int32) (*pgxpool.Pool, error) {
	config, err := pgxpool.ParseConfig(database)
	if err != nil {
		// pgx's own text quotes the connection string
		return nil, errors.New("the database's address cannot be read: write postgres://user@host/name, the password in PGPASSWORD or a password file")
	}
	config.ConnConfig.ConnectTimeout = connectTimeout
	if most > 0 {
		config.MaxConns = most
	}
	pool, err := pgxpool.NewWithConfig(ctx, config)
	return pool, fault("connect", err)
}

// Migrate brings tables up to date by the migrations in a folder of SQL files and those in Go.
// What was done is noted in a table of its own. One process at a time does so.
func Migrate(ctx context.Context, pool *pgxpool.Pool, table string, files fs.FS, more ...*goose.Migration) (err error) {
	ctx, cancel := context.WithTimeout(ctx, migrateTimeout)
	defer cancel()
	db := stdlib.OpenDBFromPool(pool)
	defer func() { err = errors.Join(err, db.Close()) }()
	// another process that migrates is done within moments
	locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, uint64(migrateTimeout/time.Second)))
	if err != nil {
		return err
	}
	provider, err := goose.NewProvider(goose.DialectPostgres, db, files,
		goose.WithSessionLocker(locker), goose.WithTableName(table), goose.WithGoMigrations(more...), goose.WithDisableGlobalRegistry(true))
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

// Fault says what was being done when a call of the database failed. It wraps
// store.ErrUnavailable where the connection broke or could not be had, and where
// the database says that it cannot work now. Its text has no address and no password.
func Fault(doing string, err error) error { return fault(doing, err) }
