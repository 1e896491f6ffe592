package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/disk/disktest"
)

// killed are the vehicles that the desks edit, each its own.
var killed = []string{"heli-1", "heli-2", "heli-3"}

// TestKilledServiceLosesNothing kills a whole service at random moments while
// three desks edit a region's folder through it. Whatever was answered with 2xx is
// there when it is started again: in the list, and in a history without gaps.
// Source: definition of an acknowledgement.
func TestKilledServiceLosesNothing(t *testing.T) {
	kills := disktest.Kills(t, 20)
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	dir := quickFolder(t)
	counts := make([]int, len(killed)) // acknowledged
	version := int64(1)                // acknowledged
	untold := 0
	c := startChild(t, "--region", dir)
	for range kills {
		var desks sync.WaitGroup
		acknowledged := make([]int64, len(killed))
		for i, id := range killed {
			desks.Go(func() {
				for n := counts[i] + 1; ; n++ {
					r, err := sends("PATCH", c.address+"/v1/assets/"+id, fmt.Sprintf(`{"x_count":%d}`, n),
						"Content-Type", "application/merge-patch+json", "If-Match", "*")
					if err != nil {
						return // it has been killed
					}
					if !assert.Equal(t, http.StatusOK, r.code, r.body) {
						return
					}
					number, err := strconv.ParseInt(r.header.Get("Surgeonward-Version"), 10, 64)
					assert.NoError(t, err)
					counts[i], acknowledged[i] = n, number
				}
			})
		}
		time.Sleep(time.Duration(random.Int64N(int64(300 * time.Millisecond))))
		c.kill(t)
		desks.Wait()
		for _, number := range acknowledged {
			version = max(version, number)
		}

		c = startChild(t, "--region", dir)
		now := regionAt(t, c.address).Version
		require.GreaterOrEqual(t, now, version)
		require.LessOrEqual(t, now, version+int64(len(killed))+ended(t, c.address), "each desk may have had one more kept than it was told")
		for i, id := range killed {
			got := countOf(t, c.address, id)
			require.GreaterOrEqual(t, got, counts[i], id)
			require.LessOrEqual(t, got, counts[i]+1, id)
			counts[i] = got
		}
		require.Equal(t, `{"version":`+fmt.Sprint(now)+`,"faults":[]}`+"\n", sent(t, "GET", c.address+"/v1/region/faults", "").body, "a crash is no edit by hand")
		untold += int(now - version)
		version = now
	}
	total := 0
	for _, n := range counts {
		total += n
	}
	version -= ended(t, c.address)
	require.EqualValues(t, 1+total, version, "every edit made one version")
	t.Logf("%d edits, killed %d times, %d kept that nobody was told of", total, kills, untold)
}

// quickFolder is the demonstration region in memory where the system has that:
// what a killed process wrote is there whether or not a disk has it.
func quickFolder(t testing.TB) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "region-")
	if err != nil {
		return freshDemo(t)
	}
	t.Cleanup(func() { require.NoError(t, os.RemoveAll(dir)) })
	saveDemo(t, dir)
	return dir
}

func countOf(t testing.TB, address, id string) int {
	t.Helper()
	r := sent(t, "GET", address+"/v1/assets/"+id, "")
	require.Equal(t, http.StatusOK, r.code, r.body)
	var asset struct {
		Count int `json:"x_count"`
	}
	require.NoError(t, json.Unmarshal([]byte(r.body), &asset))
	return asset.Count
}

// ended is how many versions states that ended by themselves have made.
func ended(t testing.TB, address string) int64 {
	t.Helper()
	var page struct {
		Entries []struct{} `json:"entries"`
	}
	r := sent(t, "GET", address+"/v1/history?who=expiry&limit=100", "")
	require.Equal(t, http.StatusOK, r.code, r.body)
	require.NoError(t, json.Unmarshal([]byte(r.body), &page))
	return int64(len(page.Entries))
}
