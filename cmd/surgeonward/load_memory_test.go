package main

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// watchMemory asks a service for the size of its live heap until the answer is
// called for: the median of the second quarter of the time, once it is warm, and
// that of the last quarter.
func watchMemory(address string, lasts time.Duration) (stop func() (warm, late int64)) {
	type sample struct{ after, heap int64 }
	var samples []sample
	ask, done := make(chan struct{}), make(chan struct{})
	began := time.Now()
	go func() {
		defer close(done)
		every := time.NewTicker(max(lasts/200, 50*time.Millisecond))
		defer every.Stop()
		for {
			select {
			case <-every.C:
				if heap := liveHeap(address); heap > 0 {
					samples = append(samples, sample{int64(time.Since(began)), heap})
				}
			case <-ask:
				return
			}
		}
	}()
	middle := func(from, to int64) int64 {
		var heaps []int64
		for _, s := range samples {
			if s.after >= from && s.after < to {
				heaps = append(heaps, s.heap)
			}
		}
		if len(heaps) == 0 {
			return 0
		}
		slices.Sort(heaps)
		return heaps[len(heaps)/2]
	}
	return func() (warm, late int64) {
		close(ask)
		<-done
		quarter := int64(lasts) / 4
		return middle(quarter, 2*quarter), middle(3*quarter, 8*quarter)
	}
}

// liveHeap is what the last garbage collection left, in bytes: half of where the
// next one begins, as the runtime does without GOGC. It is 0 where the service does
// not say.
func liveHeap(address string) int64 {
	r, err := sends("GET", address+"/metrics", "")
	if err != nil {
		return 0
	}
	for line := range strings.Lines(r.body) {
		if text, ok := strings.CutPrefix(line, "go_memstats_next_gc_bytes "); ok {
			n, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
			if err != nil {
				return 0
			}
			return int64(n / 2)
		}
	}
	return 0
}
