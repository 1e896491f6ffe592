package main

import (
	"context"
	"slices"

	"github.com/rs/zerolog"

	"surgeonward/api/region"
)

// maxLogged is how many faults of one change the log gets.
const maxLogged = 20

// logFaults writes down when newer data cannot be used or had, and when that is
// over.
func logFaults(ctx context.Context, live *region.Live, logger zerolog.Logger) {
	var told region.State
	for {
		state, changed := live.Watch()
		switch {
		case slices.Equal(state.Rejected, told.Rejected):
		case len(state.Rejected) == 0:
			logger.Info().Int64("version", state.Version.Number).Msg("the region's data is in order again")
		default:
			logger.Warn().Int("faults", len(state.Rejected)).Int64("version", state.Version.Number).
				Msg("newer data of the region cannot be used; the last good version is served")
			for _, f := range state.Rejected[:min(len(state.Rejected), maxLogged)] {
				logger.Warn().Str("file", f.File).Str("element", f.Element).Str("pointer", f.Pointer).Msg(f.Detail)
			}
		}
		if stale := !state.StaleSince.IsZero(); stale != !told.StaleSince.IsZero() {
			if stale {
				logger.Warn().Int64("version", state.Version.Number).Msg("the region's store cannot be reached; what was read last is served")
			} else {
				logger.Info().Int64("version", state.Version.Number).Msg("the region's store can be reached again")
			}
		}
		told = state
		select {
		case <-changed:
		case <-ctx.Done():
			return
		}
	}
}
