package store

import (
	"context"
	"math"
)

// Usable says why a store whose Close closes done can do nothing now: ErrClosed,
// or that ctx has ended; nil: it can.
func Usable(ctx context.Context, done <-chan struct{}) error {
	select {
	case <-done:
		return ErrClosed
	default:
		return ctx.Err()
	}
}

// FollowNewest is Follow for a store that knows the number of its newest
// version: newest returns it with a channel that is closed when there is a newer one.
// Done is closed with the store.
func FollowNewest(ctx context.Context, done <-chan struct{}, since int64, newest func() (int64, <-chan struct{}), seen func(number int64) error) error {
	for next := min(max(since, 0), math.MaxInt64-1) + 1; ; {
		if err := Usable(ctx, done); err != nil {
			return err
		}
		last, changed := newest()
		for ; next <= last; next++ {
			if err := seen(next); err != nil {
				return err
			}
			if err := Usable(ctx, done); err != nil {
				return err
			}
		}
		select {
		case <-changed:
		case <-done:
		case <-ctx.Done():
		}
	}
}
