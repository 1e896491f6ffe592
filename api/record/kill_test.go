package record_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
	"surgeonward/facilities/disk/disktest"
)

// The variables that turn the test's program into a writer.
const (
	writerFolder = "SURGEONWARD_TEST_WRITER"
	writerFrom   = "SURGEONWARD_TEST_WRITER_FROM"
)

const (
	writers     = 8
	leastKept   = 1000 // acknowledged records before the test ends
	leastKilled = 20   // writers killed before it ends
)

// regionOf changes every 100 answers, so that blobs are being written too when
// the writer is killed.
func regionOf(i int) record.Data {
	return record.NewData("fleet.json", []byte(strings.Repeat(fmt.Sprintf("fleet %d\n", i/100), 2000)))
}

// writeUntilKilled records answers from many goroutines and says on the
// standard output which are acknowledged.
func writeUntilKilled(dir string) int {
	from, err := strconv.Atoi(os.Getenv(writerFrom))
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	s, _, err := record.Open(dir, record.Options{MaxSegment: 40_000, MaxTotal: 1 << 30})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	fmt.Println("ready")
	var out sync.Mutex
	var group sync.WaitGroup
	for w := range writers {
		group.Go(func() {
			for i := from + w; ; i += writers {
				id, err := s.Answer(context.Background(), sample(i, regionOf(i)))
				if err == nil && i%5 == 0 {
					err = s.Fact(context.Background(), id, "load", evening)
				}
				out.Lock()
				if err != nil {
					fmt.Fprintln(os.Stderr, err)
				} else {
					fmt.Println("kept", id, i)
				}
				out.Unlock()
			}
		})
	}
	group.Wait()
	return 0
}

// TestKilledWriterLosesNothing kills a writer at random moments and holds the
// folder to every acknowledgement that came before.
func TestKilledWriterLosesNothing(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	dir := t.TempDir()
	kept := map[string]int{} // id to what was recorded
	torn := 0
	for killed := 0; killed < leastKilled || len(kept) < leastKept; killed++ {
		require.Less(t, killed, 500, "the writer gets nowhere: %d records", len(kept))
		env := []string{writerFolder + "=" + dir, fmt.Sprintf("%s=%d", writerFrom, killed*100_000)}
		lines := disktest.RunAndKill(t, env, 1+random.IntN(2*leastKept/leastKilled), time.Duration(random.Int64N(int64(5*time.Millisecond))))
		require.Equal(t, "ready", lines[0])
		for _, line := range lines[1:] {
			var id string
			var i int
			_, err := fmt.Sscanf(line, "kept %s %d", &id, &i)
			require.NoError(t, err, line)
			require.NotContains(t, kept, id, "the same id twice")
			kept[id] = i
		}
		s, report, err := record.Open(dir, record.Options{MaxSegment: 40_000, MaxTotal: 1 << 30})
		require.NoError(t, err, "the lock of a killed process holds nobody up")
		require.Empty(t, report.Damaged)
		require.Empty(t, report.Missing)
		torn += len(report.Torn)
		require.NoError(t, s.Close())
	}

	r, report, err := record.OpenReadOnly(dir)
	require.NoError(t, err)
	require.Empty(t, report.Sentences())
	facts := map[string]bool{}
	records, faults := all(r)
	require.Empty(t, faults)
	for _, rec := range records {
		if rec.Kind == record.KindFact {
			facts[rec.ID] = true
		}
	}
	for id, i := range kept {
		rec, err := r.Get(id)
		require.NoError(t, err)
		want := sample(i, regionOf(i))
		equal(t, want, rec)
		require.Equal(t, i%5 == 0, facts[id], "answer %d", i)
	}
	for i := range 5 {
		for _, rec := range records {
			if rec.Kind == record.KindAnswer && rec.Number%5 == int64(i) {
				_, err := r.Blob(rec.Data[0].Hash)
				require.NoError(t, err)
				break
			}
		}
	}
	t.Logf("%d acknowledged, %d recorded, %d segments, %d half lines", len(kept), report.Records, report.Segments, torn)
}
