package storetest

import (
	"context"
	"errors"
	"math"
	"sync"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
)

// patience is how long a test waits for what must come within a second.
const patience = 20 * time.Second

var errEnough = errors.New("enough")

// gather follows until a number has been seen and returns all that were.
func gather(f *fixture, s store.Store, since, until int64) <-chan []int64 {
	out := make(chan []int64, 1)
	ctx, cancel := context.WithTimeout(f.Context(), patience)
	go func() {
		defer cancel()
		var seen []int64
		err := s.Follow(ctx, since, func(number int64) error {
			seen = append(seen, number)
			if number >= until {
				return errEnough
			}
			return nil
		})
		assert.Equal(f, errEnough, err)
		out <- seen
	}()
	return out
}

func numbers(from, to int64) []int64 {
	var out []int64
	for n := from; n <= to; n++ {
		out = append(out, n)
	}
	return out
}

func follow(f *fixture) {
	s := f.store()
	f.commit(s, edit(1, fleet, numbered(2)))
	require.Equal(f, numbers(1, 2), <-gather(f, s, 0, 2), "what there was before")
	require.Equal(f, numbers(2, 2), <-gather(f, s, 1, 2))
	require.Equal(f, numbers(1, 2), <-gather(f, s, math.MinInt64, 2))

	late := gather(f, s, 2, 30)
	early := gather(f, s, 0, 30)
	ahead := gather(f, s, 20, 30)
	for i := 3; i <= 30; i++ {
		f.commit(s, edit(int64(i-1), fleet, numbered(i)))
	}
	require.Equal(f, numbers(3, 30), <-late)
	require.Equal(f, numbers(1, 30), <-early)
	require.Equal(f, numbers(21, 30), <-ahead, "numbers that were still to come")
}

// followElsewhere: what one handle commits, another sees, and can read.
func followElsewhere(f *fixture) {
	s, other := f.store(), f.store()
	seen := gather(f, other, 0, 40)
	var readers sync.WaitGroup
	ctx, cancel := context.WithTimeout(f.Context(), patience)
	defer cancel()
	readers.Go(func() {
		err := other.Follow(ctx, 1, func(number int64) error {
			v, err := other.At(ctx, number)
			if err != nil {
				return err
			}
			if !assert.Equal(f, numbered(int(number)), string(v.Content[fleet])) || number == 40 {
				return errEnough
			}
			newest, err := other.Current(ctx)
			assert.True(f, err != nil || newest.Number >= number, "a version that was told of is current, or older than it")
			return err
		})
		assert.Equal(f, errEnough, err)
	})
	for i := 2; i <= 40; i++ {
		f.commit(s, edit(int64(i-1), fleet, numbered(i)))
		if i%10 == 0 {
			time.Sleep(10 * time.Millisecond)
		}
	}
	require.Equal(f, numbers(1, 40), <-seen)
	readers.Wait()
	f.same(f.current(s), f.current(other))
}

func followEnds(f *fixture) {
	s := f.open()
	never := func(int64) error { assert.Fail(f, "there is no version to tell of"); return errEnough }
	ctx, cancel := context.WithCancel(f.Context())
	ended := make(chan error, 2)
	go func() { ended <- s.Follow(ctx, 1, never) }()
	time.Sleep(10 * time.Millisecond)
	cancel()
	require.ErrorIs(f, receive(f, ended), context.Canceled)

	require.ErrorIs(f, s.Follow(f.Context(), 0, func(int64) error { return errEnough }), errEnough)

	go func() { ended <- s.Follow(f.Context(), 1, never) }()
	go func() { ended <- s.Follow(f.Context(), math.MaxInt64, never) }()
	time.Sleep(10 * time.Millisecond)
	require.NoError(f, s.Close())
	require.ErrorIs(f, receive(f, ended), store.ErrClosed)
	require.ErrorIs(f, receive(f, ended), store.ErrClosed)
}

func receive(f *fixture, from <-chan error) error {
	f.Helper()
	select {
	case err := <-from:
		return err
	case <-time.After(patience):
		require.FailNow(f, "it does not end")
		return nil
	}
}
