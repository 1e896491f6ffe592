package postgres_test

import (
	"bytes"
	"context"
	"net"
	"net/url"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
	"surgeonward/facilities/store/postgres"
	"surgeonward/facilities/store/postgres/pgserver"
)

// line is a connection to a database that can be made to fail.
type line struct {
	cut  atomic.Bool // the next commit goes out, and the line breaks before the answer
	mute atomic.Bool // nothing gets through any more, and nobody says so
}

// through returns the address of a database by way of a line.
func through(t *testing.T, address string) (*line, string) {
	t.Helper()
	config, err := pgx.ParseConfig(address)
	require.NoError(t, err)
	network, at := pgconn.NetworkAddress(config.Host, config.Port)
	listener, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	l := &line{}
	var mu sync.Mutex
	var open []net.Conn
	var all sync.WaitGroup
	all.Go(func() {
		for {
			near, err := listener.Accept()
			if err != nil {
				return // the test is over
			}
			far, err := (&net.Dialer{}).DialContext(context.Background(), network, at)
			if !assert.NoError(t, err) {
				return
			}
			mu.Lock()
			open = append(open, near, far)
			mu.Unlock()
			var broken atomic.Bool
			all.Go(func() { l.carry(far, near, func(b []byte) { broken.CompareAndSwap(false, l.cuts(b)) }) })
			all.Go(func() {
				l.carry(near, far, func([]byte) {
					if broken.Load() {
						_ = near.Close() // the answer is lost
					}
				})
			})
		}
	})
	t.Cleanup(func() {
		require.NoError(t, listener.Close())
		mu.Lock()
		for _, c := range open {
			_ = c.Close()
		}
		mu.Unlock()
		all.Wait()
	})
	u, err := url.Parse(address)
	require.NoError(t, err)
	q := u.Query()
	q.Del("host")
	q.Set("sslmode", "disable")
	u.Host, u.RawQuery = listener.Addr().String(), q.Encode()
	return l, u.String()
}

func (l *line) cuts(sent []byte) bool {
	return bytes.Contains(bytes.ToLower(sent), []byte("commit\x00")) && l.cut.CompareAndSwap(true, false)
}

// carry moves what comes from one end to the other until one of them is closed.
func (l *line) carry(to, from net.Conn, seen func([]byte)) {
	buffer := make([]byte, 64<<10)
	for {
		n, err := from.Read(buffer)
		if err != nil {
			_ = to.Close()
			return
		}
		if l.mute.Load() {
			continue
		}
		seen(buffer[:n])
		if _, err := to.Write(buffer[:n]); err != nil {
			return
		}
	}
}

// TestAnswerOfACommitIsLost: the database has carried out what nobody was told of.
// The error says that it may have, and nothing else does. Source: definition.
func TestAnswerOfACommitIsLost(t *testing.T) {
	address := pgserver.Schema(t)
	l, by := through(t, address)
	s, err := postgres.Open(t.Context(), by, opts)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	commit(t, s, 0, `{"assets": []}`)
	l.cut.Store(true)
	edit := store.Edit{Base: 1, Files: map[string][]byte{"fleet.json": []byte(`{}`)}, Entry: store.Entry{Who: "desk-1"}}
	_, err = s.Commit(t.Context(), edit)
	require.False(t, l.cut.Load(), "the line was cut at the commit")
	require.ErrorIs(t, err, store.ErrUnavailable)
	require.ErrorIs(t, err, store.ErrUnsure)
	v, err := s.Current(t.Context())
	require.NoError(t, err)
	assert.EqualValues(t, 2, v.Number, "it was kept")
	_, err = s.Commit(t.Context(), edit)
	var conflict *store.ConflictError
	require.ErrorAs(t, err, &conflict, "to repeat it from what was read before is a conflict")
}

// TestSilentDatabase: a database that nothing comes from any more is away, although
// no connection has failed.
func TestSilentDatabase(t *testing.T) {
	l, by := through(t, pgserver.Schema(t))
	s, err := postgres.Open(t.Context(), by, opts)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	commit(t, s, 0, `{"assets": []}`)
	seen, ended := make(chan int64, 1), make(chan error, 1)
	go func() { ended <- s.Follow(t.Context(), 0, func(n int64) error { seen <- n; return nil }) }()
	require.EqualValues(t, 1, <-seen)
	l.mute.Store(true)
	ctx, cancel := context.WithTimeout(t.Context(), time.Second)
	defer cancel()
	_, err = s.Commit(ctx, store.Edit{Base: 1, Files: map[string][]byte{"fleet.json": []byte(`{}`)}, Entry: store.Entry{Who: "desk-1"}})
	require.ErrorIs(t, err, store.ErrUnavailable)
	require.NotErrorIs(t, err, store.ErrUnsure, "it never came to the commit")
	select {
	case err = <-ended:
		require.ErrorIs(t, err, store.ErrUnavailable)
	case <-time.After(30 * time.Second):
		require.Fail(t, "who follows waits in silence")
	}
	l.mute.Store(false)
	v, err := s.Current(t.Context())
	require.NoError(t, err)
	assert.EqualValues(t, 1, v.Number)
}
