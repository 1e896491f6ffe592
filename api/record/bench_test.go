package record_test

import (
	"fmt"
	"hash/crc32"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
)

// together is how many callers record at the same time, and each how many
// answers before the clock is read.
const (
	together = 64
	each     = 8
)

// BenchmarkAnswer records answers from many callers who share syncs, and beside
// it the same lines with a sync each, as the simplest code would.
func BenchmarkAnswer(b *testing.B) {
	s, _, err := record.Open(b.TempDir(), record.Options{})
	require.NoError(b, err)
	naive, err := os.Create(filepath.Join(b.TempDir(), "naive.jsonl"))
	require.NoError(b, err)
	data := record.NewData("fleet.json", make([]byte, 100_000))
	keep(b, s, sample(0, data))
	line := naiveLine(b, s)

	var grouped, single time.Duration
	recorded := 0
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		concurrently(func(i int) {
			if _, err := s.Answer(b.Context(), sample(i, data)); err != nil {
				b.Error(err)
			}
		})
		grouped += time.Since(start)
		start = time.Now()
		var mu sync.Mutex
		concurrently(func(int) {
			mu.Lock()
			defer mu.Unlock()
			if _, err := naive.Write(line); err != nil {
				b.Error(err)
			}
			if err := naive.Sync(); err != nil {
				b.Error(err)
			}
		})
		single += time.Since(start)
		recorded += together * each
	}
	b.ReportMetric(float64(recorded)/grouped.Seconds(), "records/s")
	b.ReportMetric(float64(recorded)/single.Seconds(), "naive_records/s")
	b.ReportMetric(single.Seconds()/grouped.Seconds(), "times_naive")

	// the checksum: everything is there, and is what was given
	records, faults := all(s.Reader)
	require.Empty(b, faults)
	require.Len(b, records, recorded+1)
	sum := uint32(0)
	for _, rec := range records[1:] {
		sum ^= crc32.ChecksumIEEE(rec.Answer)
	}
	want := uint32(0)
	for range recorded / (together * each) {
		for i := range together * each {
			want ^= crc32.ChecksumIEEE(answer(i))
		}
	}
	require.Equal(b, want, sum)
	require.NoError(b, naive.Close())
	require.NoError(b, s.Close())
}

func concurrently(do func(i int)) {
	var group sync.WaitGroup
	for w := range together {
		group.Go(func() {
			for i := range each {
				do(w*each + i)
			}
		})
	}
	group.Wait()
}

// naiveLine is a line as the record has it.
func naiveLine(b *testing.B, s *record.Store) []byte {
	b.Helper()
	text, err := os.ReadFile(filepath.Join(s.Dir(), "segments", "000000000001.jsonl"))
	require.NoError(b, err)
	return text
}

// BenchmarkOpen reads a record of answers that are as long as those of a large
// region: 300 kB of JSON each.
func BenchmarkOpen(b *testing.B) {
	dir := b.TempDir()
	s, _, err := record.Open(dir, record.Options{})
	require.NoError(b, err)
	random := rand.New(rand.NewPCG(1, 1))
	const answers = 50
	for i := range answers {
		a := sample(i)
		body := []byte(`{"options":[`)
		for len(body) < 300_000 {
			body = fmt.Appendf(body, `{"id":"air:heli-%d:hospital-%d","reasons":[{"code":"beyond_endurance","detail":"mission %d min"}]},`,
				random.IntN(40), random.IntN(200), random.IntN(300))
		}
		a.Answer = append(body, `{}]}`...)
		keep(b, s, a)
	}
	require.NoError(b, s.Close())
	b.ReportAllocs()
	records := 0
	for b.Loop() {
		_, report, err := record.OpenReadOnly(dir)
		require.NoError(b, err)
		b.SetBytes(report.Bytes)
		records = report.Records
	}
	require.Equal(b, answers, records)
}
