package postgres

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"surgeonward/facilities/store"
)

// Commit makes a version out of an edit. The first edit of an empty database
// has base 0.
func (s *Store) Commit(ctx context.Context, e store.Edit) (*store.Version, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	if err := e.Check(s.opts.Names); err != nil {
		return nil, err
	}
	tx, err := s.pool.Begin(ctx)
	if err != nil {
		return nil, fault("begin", err)
	}
	// Once committed this does nothing.
	defer func() { _ = tx.Rollback(context.WithoutCancel(ctx)) }()
	v, err := s.build(ctx, tx, &e)
	if err != nil {
		return nil, err
	}
	if err := s.write(ctx, tx, v, e.Files); err != nil {
		return nil, err
	}
	// An edit is answered when it is safe, whatever the server's setting.
	if _, err := tx.Exec(ctx, `SET LOCAL synchronous_commit = on`); err != nil {
		return nil, fault("commit", err)
	}
	if err := tx.Commit(ctx); err != nil {
		return nil, unsure(fault("commit", err), err)
	}
	s.keep(v)
	return v, nil
}

// build is the version that an edit makes of the newest one.
func (s *Store) build(ctx context.Context, tx pgx.Tx, e *store.Edit) (*store.Version, error) {
	newest, err := s.version(ctx, tx, `ORDER BY number DESC LIMIT 1`)
	if errors.Is(err, store.ErrNotFound) {
		newest, err = &store.Version{}, nil
	}
	if err != nil {
		return nil, err
	}
	if newest.Number != e.Base {
		return nil, &store.ConflictError{Base: e.Base, Newest: newest.Number}
	}
	content, changed := e.Apply(newest.Content)
	if !changed {
		return nil, fmt.Errorf("%w: version %d", store.ErrUnchanged, newest.Number)
	}
	if faults := s.opts.Check(content); len(faults) > 0 {
		return nil, &store.InvalidError{Faults: faults}
	}
	v := &store.Version{Entry: e.Clone(), Content: content}
	v.Number = newest.Number + 1
	v.At = s.opts.Now().UTC().Truncate(time.Microsecond) // as the database keeps it
	v.Files = store.Describe(content)
	return v, nil
}

// write puts a version into the transaction. A version of that number that
// somebody else committed meanwhile is a conflict.
func (s *Store) write(ctx context.Context, tx pgx.Tx, v *store.Version, changed map[string][]byte) error {
	what, err := json.Marshal(v.What)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `INSERT INTO region_version (number, made_at, who, why, what, more) VALUES ($1, $2, $3, $4, $5, $6)`,
		v.Number, v.At, v.Who, v.Why, what, v.More)
	if is(err, uniqueViolation) {
		return &store.ConflictError{Base: v.Number - 1, Newest: v.Number}
	}
	if err != nil {
		return fault("write the version", err)
	}
	for _, name := range slices.Sorted(maps.Keys(changed)) {
		content := changed[name]
		if content == nil {
			continue
		}
		hash := store.Sum(content)
		if _, err := tx.Exec(ctx, `INSERT INTO region_content (hash, bytes) VALUES ($1, $2) ON CONFLICT DO NOTHING`, hash[:], content); err != nil {
			return fault("write "+name, err)
		}
	}
	for _, f := range v.Files {
		if _, err := tx.Exec(ctx, `INSERT INTO region_file (number, name, hash, size) VALUES ($1, $2, $3, $4)`, v.Number, f.Name, f.Hash[:], f.Size); err != nil {
			return fault("write "+f.Name, err)
		}
	}
	_, err = tx.Exec(ctx, `SELECT pg_notify($1, '')`, channel)
	return fault("notify", err)
}
