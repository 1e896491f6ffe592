package main

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// watchMemory asks a service for the size of its live heap until the answer is
// called for: the median of the second quarter of what it said, once it is warm, and
// that of the last quarter.
func watchMemory(address string, lasts time.Duration) (stop func() (warm, late int64)) {
	var heaps []int64
	ask, done := make(chan struct{}), make(chan struct{})
	look := func() {
		if heap := liveHeap(address); heap > 0 {
			heaps = append(heaps, heap)
		}
	}
	go func() {
		defer close(done)
		every := time.NewTicker(max(lasts/200, 50*time.Millisecond))
		defer every.Stop()
		for {
			select {
			case <-every.C:
				look()
			case <-ask:
				return
			}
		}
	}()
	return func() (warm, late int64) {
		close(ask)
		<-done
		for range 4 { // so that there is something to compare on the busiest machine
			look()
		}
		n := len(heaps)
		return median(heaps[n/4 : n/2]), median(heaps[3*n/4:])
	}
}

// median is 0 of none.
func median(all []int64) int64 {
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return all[len(all)/2]
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
