package postgres

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"syscall"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"surgeonward/facilities/store"
)

// The SQLSTATE codes that are told apart. Source: PostgreSQL 15 documentation,
// appendix A.
const (
	uniqueViolation = "23505"
	readOnlySession = "25006"
	undefinedTable  = "42P01"
)

// fault says what was being done when a call of the database failed. It wraps
// store.ErrUnavailable where the connection broke or could not be had, and where
// the database says that it cannot work now.
func fault(doing string, err error) error {
	if err == nil {
		return nil
	}
	var answer *pgconn.PgError
	switch {
	case errors.Is(err, context.Canceled):
		return err
	case errors.As(err, &answer):
		if answer.Code == readOnlySession {
			return fmt.Errorf("%s: %w", doing, store.ErrReadOnly)
		}
		if unavailable(answer.Code) {
			return fmt.Errorf("%s: %w (SQLSTATE %s)", doing, store.ErrUnavailable, answer.Code)
		}
		return fmt.Errorf("%s: %s (SQLSTATE %s)", doing, answer.Message, answer.Code)
	case errors.As(err, new(*pgconn.ConnectError)), errors.As(err, new(*pgconn.ParseConfigError)):
		// these quote the address, the user and the database
		return fmt.Errorf("%s: %w: no connection", doing, store.ErrUnavailable)
	case broken(err):
		return fmt.Errorf("%s: %w: %w", doing, store.ErrUnavailable, err)
	}
	return fmt.Errorf("%s: %w", doing, err)
}

// unsure marks the error of a commit that was sent and has no answer: the database
// may have carried it out. pgconn.SafeToRetry does not tell: it is true also of a
// connection that was closed while the answer was read.
func unsure(said, err error) error {
	var answer *pgconn.PgError
	if errors.As(err, &answer) && !unavailable(answer.Code) || errors.Is(err, pgx.ErrTxCommitRollback) {
		return said
	}
	return fmt.Errorf("%w: %w: %w", store.ErrUnavailable, store.ErrUnsure, said)
}

// broken reports whether an error is one of the connection.
func broken(err error) bool {
	return errors.As(err, new(syscall.Errno)) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) ||
		pgconn.Timeout(err) || errors.Is(err, context.DeadlineExceeded) || pgconn.SafeToRetry(err)
}

// unavailable reports whether a later try may succeed: connection trouble (08),
// lack of resources (53), an operator's intervention (57).
func unavailable(code string) bool {
	return strings.HasPrefix(code, "08") || strings.HasPrefix(code, "53") || strings.HasPrefix(code, "57")
}

func is(err error, code string) bool {
	var answer *pgconn.PgError
	return errors.As(err, &answer) && answer.Code == code
}
