package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/rs/zerolog"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/facilities/store"
)

// load is what is done at once.
type load struct{ readers, listeners, editsPerS int }

// counts are what came of it.
type counts struct {
	reads, events, failures atomic.Int64
	edits                   []time.Duration
}

// run serves the region, loads it until ctx ends and prints what came of it.
func run(ctx context.Context, what load, out io.Writer) error {
	address, stop, err := serve()
	if err != nil {
		return err
	}
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: what.readers + what.listeners + 1}}
	var n counts
	listening, hangUp := context.WithCancel(context.WithoutCancel(ctx))
	var ears, hands sync.WaitGroup
	ready := make(chan struct{}, what.listeners)
	for range what.listeners {
		ears.Go(func() { n.listen(listening, client, address, ready) })
	}
	for range what.listeners {
		<-ready
	}
	for range what.readers {
		hands.Go(func() { n.read(ctx, client, address) })
	}
	n.edit(ctx, client, address, what.editsPerS)
	hands.Wait()
	due := int64(len(n.edits)) * int64(what.listeners)
	for end := time.Now().Add(5 * time.Second); n.events.Load() < due && time.Now().Before(end); {
		time.Sleep(10 * time.Millisecond) // the last ones are on their way
	}
	hangUp()
	ears.Wait()
	n.print(out, due)
	client.CloseIdleConnections()
	if err := stop(); err != nil {
		return err
	}
	if n.failures.Load() > 0 || n.events.Load() != due {
		return errors.New("requests failed or events were lost")
	}
	return nil
}

// serve serves the demonstration region, kept in memory.
func serve() (address string, stop func() error, err error) {
	files, err := region.DemoFiles()
	if err != nil {
		return "", nil, err
	}
	ctx, cancel := context.WithCancel(context.Background())
	loader := &region.Loader{}
	s, err := store.Memory(files, loader.Check, nil)
	if err != nil {
		cancel()
		return "", nil, err
	}
	live, err := region.NewLive(ctx, region.LiveConfig{Store: s, Loader: loader})
	if err != nil {
		cancel()
		return "", nil, err
	}
	handler, err := api.New(api.Config{Source: live, Logger: zerolog.Nop()})
	if err != nil {
		cancel()
		return "", nil, err
	}
	listener, err := net.ListenTCP("tcp", &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1)})
	if err != nil {
		cancel()
		return "", nil, err
	}
	served := make(chan error, 1)
	go func() { served <- api.Serve(ctx, listener, handler, zerolog.Nop()) }()
	go live.Run(ctx)
	return "http://" + listener.Addr().String(), func() error {
		cancel()
		return <-served
	}, nil
}

// send makes a request and hands its body to use; a failure is counted.
func (n *counts) send(ctx context.Context, client *http.Client, method, url, body string, use func(io.Reader)) {
	r, err := http.NewRequestWithContext(ctx, method, url, strings.NewReader(body))
	if err != nil {
		n.failures.Add(1)
		return
	}
	r.Header.Set("Content-Type", "application/json")
	w, err := client.Do(r)
	if err != nil {
		if ctx.Err() == nil {
			n.failures.Add(1)
		}
		return
	}
	use(w.Body)
	if err := w.Body.Close(); w.StatusCode != http.StatusOK || err != nil && ctx.Err() == nil {
		n.failures.Add(1)
	}
}

const hospital = "/v1/facilities/ettuquar-chest"

// all reads a body to its end. What fails shows when it is closed.
func all(body io.Reader) { _, _ = io.Copy(io.Discard, body) }

func (n *counts) read(ctx context.Context, client *http.Client, address string) {
	for ctx.Err() == nil {
		n.send(ctx, client, http.MethodGet, address+hospital, "", all)
		n.reads.Add(1)
		time.Sleep(5 * time.Millisecond)
	}
}

// listen counts events after the first, which says where the listener starts.
func (n *counts) listen(ctx context.Context, client *http.Client, address string, ready chan<- struct{}) {
	told := sync.OnceFunc(func() { ready <- struct{}{} })
	defer told()
	n.send(ctx, client, http.MethodGet, address+"/v1/events", "", func(body io.Reader) {
		lines := bufio.NewScanner(body)
		for heard := 0; lines.Scan(); {
			if !strings.HasPrefix(lines.Text(), "id: ") {
				continue
			}
			if heard++; heard == 1 {
				told()
			} else {
				n.events.Add(1)
			}
		}
	})
}

func (n *counts) edit(ctx context.Context, client *http.Client, address string, perS int) {
	tick := time.NewTicker(time.Second / time.Duration(max(perS, 1)))
	defer tick.Stop()
	for i := 0; ; i++ {
		select {
		case <-tick.C:
		case <-ctx.Done():
			return
		}
		began := time.Now()
		body := fmt.Sprintf(`{"state":"divert","reason":"%d"}`, i)
		n.send(context.WithoutCancel(ctx), client, http.MethodPost, address+hospital+"/accepting", body, all)
		n.edits = append(n.edits, time.Since(began))
	}
}

func (n *counts) print(out io.Writer, due int64) {
	slices.Sort(n.edits)
	at := func(share float64) time.Duration {
		if len(n.edits) == 0 {
			return 0
		}
		return n.edits[int(share*float64(len(n.edits)-1))].Round(100 * time.Microsecond)
	}
	runtime.GC()
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	fmt.Fprintf(out, "edits: %d, half within %s, 99 in 100 within %s, slowest %s\n", len(n.edits), at(0.5), at(0.99), at(1))
	fmt.Fprintf(out, "reads: %d\nevents: %d of %d\nfailures: %d\nmemory in use: %d MB, with every version\n",
		n.reads.Load(), n.events.Load(), due, n.failures.Load(), memory.HeapAlloc>>20)
}
