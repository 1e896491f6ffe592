package postgres

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"
)

// channel is what commits notify. It belongs to the database, not to a schema:
// who listens asks for new numbers and trusts no payload.
const channel = "region_version"

// askEvery is how often who follows asks, whether or not there was a notification.
const askEvery = time.Second

// Follow calls seen with each version's number after since. It ends when the
// database goes away: whoever serves what was there has to say so.
func (s *Store) Follow(ctx context.Context, since int64, seen func(number int64) error) error {
	// Close waits for every connection to come back: it ends the following.
	open, cancel := context.WithCancel(ctx)
	defer cancel()
	defer context.AfterFunc(s.closed, cancel)()
	if err := s.usable(ctx); err != nil {
		return err
	}
	err := s.listen(open, &since, seen)
	var told *seenError
	if errors.As(err, &told) {
		return told.error
	}
	if ended := s.usable(ctx); ended != nil {
		return ended
	}
	return err
}

// seenError is what the caller of Follow wants to end it with.
type seenError struct{ error }

// listen follows by one connection until it breaks.
func (s *Store) listen(ctx context.Context, since *int64, seen func(number int64) error) error {
	held, err := s.pool.Acquire(ctx)
	if err != nil {
		return fault("follow", err)
	}
	// A connection that listens must not go back to the pool.
	conn := held.Hijack()
	defer func() {
		closing, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
		defer cancel()
		_ = conn.Close(closing) // it is given up either way
	}()
	if _, err := conn.Exec(ctx, "LISTEN "+channel); err != nil {
		return fault("listen", err)
	}
	for {
		if err := newer(ctx, conn, since, seen); err != nil {
			return err
		}
		waiting, cancel := context.WithTimeout(ctx, askEvery)
		_, err := conn.WaitForNotification(waiting)
		late := waiting.Err() != nil
		cancel()
		if err != nil && !late {
			return fault("listen", err)
		}
	}
}

// newer hands over the numbers after since.
func newer(ctx context.Context, conn *pgx.Conn, since *int64, seen func(number int64) error) error {
	asking, cancel := context.WithTimeout(ctx, connectTimeout)
	defer cancel()
	rows, err := conn.Query(asking, `SELECT number FROM region_version WHERE number > $1 ORDER BY number`, *since)
	if err != nil {
		return fault("follow", err)
	}
	numbers, err := pgx.CollectRows(rows, pgx.RowTo[int64])
	if err != nil {
		return fault("follow", err)
	}
	for _, n := range numbers {
		if err := seen(n); err != nil {
			return &seenError{err}
		}
		*since = n
	}
	return nil
}
