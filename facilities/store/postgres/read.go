package postgres

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"

	"surgeonward/facilities/store"
)

// Current returns the newest version, whole. An error wraps store.ErrNotFound
// where the database has none yet.
func (s *Store) Current(ctx context.Context) (*store.Version, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	v, err := s.version(ctx, s.pool, `ORDER BY number DESC LIMIT 1`)
	if err != nil {
		return nil, err
	}
	s.keep(v)
	return v, nil
}

// At returns the version with the number, whole.
func (s *Store) At(ctx context.Context, number int64) (*store.Version, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	return s.version(ctx, s.pool, `WHERE number = $1`, number)
}

// querier is a pool or a transaction.
type querier interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
}

const entryColumns = `SELECT number, made_at, who, why, what, more FROM region_version `

func (s *Store) version(ctx context.Context, q querier, which string, args ...any) (*store.Version, error) {
	entries, err := s.entries(ctx, q, which, args...)
	if err != nil {
		return nil, err
	}
	if len(entries) == 0 {
		return nil, store.ErrNotFound
	}
	v := &store.Version{Entry: entries[0], Content: map[string][]byte{}}
	for _, f := range v.Files {
		if v.Content[f.Name], err = s.content(ctx, q, f.Hash); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	return v, nil
}

// entries reads what history says of versions, with their files.
func (s *Store) entries(ctx context.Context, q querier, which string, args ...any) ([]store.Entry, error) {
	rows, err := q.Query(ctx, entryColumns+which, args...)
	if err != nil {
		return nil, fault("read the history", err)
	}
	entries, err := pgx.CollectRows(rows, scanEntry)
	if err != nil {
		return nil, fault("read the history", err)
	}
	place := make(map[int64]*store.Entry, len(entries))
	numbers := make([]int64, len(entries))
	for i := range entries {
		numbers[i] = entries[i].Number
		place[entries[i].Number] = &entries[i]
	}
	rows, err = q.Query(ctx, `SELECT number, name, hash, size FROM region_file WHERE number = ANY($1) ORDER BY number, name COLLATE "C"`, numbers)
	if err != nil {
		return nil, fault("read the history", err)
	}
	var number int64
	var f store.File
	var hash []byte
	_, err = pgx.ForEachRow(rows, []any{&number, &f.Name, &hash, &f.Size}, func() error {
		copy(f.Hash[:], hash)
		place[number].Files = append(place[number].Files, f)
		return nil
	})
	return entries, fault("read the history", err)
}

func scanEntry(row pgx.CollectableRow) (store.Entry, error) {
	var e store.Entry
	var what []byte
	if err := row.Scan(&e.Number, &e.At, &e.Who, &e.Why, &what, &e.More); err != nil {
		return e, err
	}
	e.At = e.At.UTC()
	return e, json.Unmarshal(what, &e.What)
}

// content reads a file's bytes, and holds them to their hash.
func (s *Store) content(ctx context.Context, q querier, hash store.Hash) ([]byte, error) {
	s.mu.Lock()
	kept, ok := s.kept[hash]
	s.mu.Unlock()
	if ok {
		return kept, nil
	}
	rows, err := q.Query(ctx, `SELECT bytes FROM region_content WHERE hash = $1`, hash[:])
	if err != nil {
		return nil, fault("read its content", err)
	}
	bytes, err := pgx.CollectExactlyOneRow(rows, pgx.RowTo[[]byte])
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, fmt.Errorf("%w: content %s is missing from the database", store.ErrDamaged, hash)
	}
	if err != nil {
		return nil, fault("read its content", err)
	}
	if store.Sum(bytes) != hash {
		return nil, fmt.Errorf("%w: content %s has decayed in the database", store.ErrDamaged, hash)
	}
	return bytes, nil
}

// keep remembers the contents of the newest version, of which an edit changes
// one as a rule.
func (s *Store) keep(v *store.Version) {
	kept := make(map[store.Hash][]byte, len(v.Files))
	for _, f := range v.Files {
		kept[f.Hash] = v.Content[f.Name]
	}
	s.mu.Lock()
	s.kept = kept
	s.mu.Unlock()
}

// History returns up to most entries below before, the newest first.
func (s *Store) History(ctx context.Context, before int64, most int) ([]store.Entry, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	return s.entries(ctx, s.pool, `WHERE $1::bigint = 0 OR number < $1::bigint ORDER BY number DESC LIMIT $2`, before, max(most, 0))
}

// Using returns the numbers of the versions in which a file has the content.
func (s *Store) Using(ctx context.Context, content store.Hash) ([]int64, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	rows, err := s.pool.Query(ctx, `SELECT DISTINCT number FROM region_file WHERE hash = $1 ORDER BY number`, content[:])
	if err != nil {
		return nil, fault("search the history", err)
	}
	numbers, err := pgx.CollectRows(rows, pgx.RowTo[int64])
	return numbers, fault("search the history", err)
}
