package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/rs/zerolog"

	"surgeonward/api/record"
	"surgeonward/cmd/surgeonward/terminal"
)

// recordFlags say where a server keeps its answers, and how many of them.
type recordFlags struct {
	Record   string `help:"Folder in which every answer is recorded before it is sent; made if it does not exist (default: nothing is recorded)." placeholder:"DIR"`
	RecordMB int64  `name:"record-mb" help:"Size of the record in MiB, beyond which the oldest answers are deleted (default: 1024)." default:"1024" placeholder:"N"`
}

// The sizes a record may have, in MiB.
const (
	minRecordMB = 64
	maxRecordMB = 1 << 24
)

// open opens the record; nil where none is asked for. What somebody should look
// at goes into the log.
func (f *recordFlags) open(logger zerolog.Logger) (*record.Store, error) {
	if f.Record == "" {
		return nil, nil
	}
	if f.RecordMB < minRecordMB || f.RecordMB > maxRecordMB {
		return nil, usageError{fmt.Errorf("--record-mb: must be %d to %d (got %d)", minRecordMB, maxRecordMB, f.RecordMB)}
	}
	store, report, err := record.Open(f.Record, record.Options{MaxTotal: f.RecordMB << 20})
	for _, sentence := range report.Sentences() {
		logger.Warn().Str("what", terminal.Clean(sentence)).Msg("record")
	}
	switch {
	case errors.Is(err, record.ErrInUse):
		return nil, fmt.Errorf("--record: %w; each server needs a folder of its own", err)
	case err != nil:
		return nil, fmt.Errorf("--record: %w; give another folder, or leave --record out to serve without a record", err)
	}
	stats := store.Stats()
	logger.Info().Int("records", stats.Records).Int64("bytes", stats.Bytes).Msg("recording")
	return store, nil
}

// recordWatch is how often a server looks after its record.
const recordWatch = time.Minute

// watchRecord says in the log when the record's bound cannot be held, when it
// can again, and what was deleted for it.
func watchRecord(ctx context.Context, stats func() record.Stats, ticks <-chan time.Time, logger zerolog.Logger) {
	var before record.Stats
	for {
		now := stats()
		switch {
		case now.Trouble != nil && before.Trouble == nil:
			// file names and the system's own words: nothing that a caller sent
			logger.Error().Str("why", terminal.Clean(now.Trouble.Error())).Int64("bytes", now.Bytes).Msg("the record cannot be kept within its size")
		case now.Trouble == nil && before.Trouble != nil:
			logger.Info().Int64("bytes", now.Bytes).Msg("the record is within its size again")
		}
		if now.Dropped > before.Dropped {
			logger.Warn().Int("segments", now.Dropped-before.Dropped).Msg("the oldest records were deleted to keep the record within its size")
		}
		before = now
		select {
		case <-ctx.Done():
			return
		case <-ticks:
		}
	}
}

// readRecord opens a record to read it, also while a server writes it. What
// somebody should look at goes to standard error.
func (p *program) readRecord(dir string) (*record.Reader, error) {
	reader, report, err := record.OpenReadOnly(dir)
	for _, sentence := range report.Sentences() {
		fmt.Fprintln(p.stderr, "surgeonward: warning: "+terminal.Clean(sentence))
	}
	return reader, err
}
