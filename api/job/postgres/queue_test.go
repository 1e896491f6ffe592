package postgres_test

import (
	"context"
	"os"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/job"
	"surgeonward/api/job/jobtest"
	"surgeonward/api/job/postgres"
	"surgeonward/facilities/store/postgres/pgserver"
)

func TestMain(m *testing.M) {
	if database := os.Getenv(deadlyWorker); database != "" {
		os.Exit(workUntilDead(database))
	}
	pgserver.Main(m)
}

// join opens a queue that ends with the test.
func join(t testing.TB, database string, opts postgres.Options) *postgres.Queue {
	t.Helper()
	q, err := postgres.Open(t.Context(), database, opts)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, q.Close()) })
	return q
}

// execute runs a statement by a connection of its own.
func execute(t testing.TB, database, sql string) (rows int64) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), database)
	require.NoError(t, err)
	defer func() { assert.NoError(t, conn.Close(context.Background())) }()
	done, err := conn.Exec(t.Context(), sql)
	require.NoError(t, err)
	return done.RowsAffected()
}

// TestQueue: it keeps the promises of every queue.
func TestQueue(t *testing.T) {
	database := pgserver.Schema(t)
	first := true
	jobtest.Run(t, func(t *testing.T, opts job.Options) (job.Service, error) {
		if !first {
			execute(t, database, `TRUNCATE job, job_step, job_result, river_job`)
		}
		first = false
		return postgres.Open(context.Background(), database, postgres.Options{Options: opts})
	})
}
