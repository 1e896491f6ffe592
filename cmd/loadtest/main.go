// Command loadtest serves the demonstration region on loopback and loads it with
// readers, listeners and desk edits at once. It prints how long edits took, how
// many events arrived of those that had to, and what memory was in use, and fails
// when anything failed or an event was lost.
//
//	go run ./cmd/loadtest -for 5m
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"time"
)

func main() {
	length := flag.Duration("for", 20*time.Second, "how long to load it")
	readers := flag.Int("readers", 20, "clients that read without pause")
	listeners := flag.Int("listeners", 200, "clients that listen to events")
	edits := flag.Int("edits", 20, "edits in a second")
	flag.Parse()
	ctx, cancel := context.WithTimeout(context.Background(), *length)
	defer cancel()
	if err := run(ctx, load{readers: *readers, listeners: *listeners, editsPerS: *edits}, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "loadtest: "+err.Error())
		os.Exit(1)
	}
}
