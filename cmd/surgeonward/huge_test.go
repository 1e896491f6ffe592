package main

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
)

// maxHugeMemory is what a service may need of the machine's memory, in bytes, at
// most and altogether, while it refuses what nobody can use. The longest list that is
// read at all has 32 MiB, and two are read at a time. Some 400 MiB were seen. The race
// detector takes five to ten times as much (its documentation).
const maxHugeMemory = (1 << 30) * raceFactor

// repeated is a head, then a piece over and over until that has a length in bytes.
func repeated(head, piece string, length int) string {
	return head + strings.Repeat(piece, length/len(piece)+1)
}

type hugeList struct {
	name, content, says string
	byHand              bool // it is saved in the folder as well
}

// huge are lists that must be refused, whichever way they come. Source: definition;
// none of them is a list of facilities.
func huge() []hugeList {
	const list = `{"type":"FeatureCollection","features":[`
	const base = `{"type":"Feature","id":"b","geometry":{"type":"Point","coordinates":[-29.41,45.52]},"properties":{"kind":"base","name":"B"}},`
	return []hugeList{
		{"100 MB of facilities", repeated(list, base, 100<<20) + `{}]}`, "longer than", true},
		{"a million features", list + strings.Repeat(`{"type":"Feature"},`, 1_000_000) + `{}]}`, "more than", true},
		{"31 MB of one facility", repeated(list, base, 31<<20) + `{}]}`, "more than", false},
		{"31 MB of arrays in arrays", strings.Repeat("[", 31<<20), "deep", false},
		{"31 MB of objects in objects", repeated(list, `{"a":`, 31<<20), "deep", false},
		{"31 MB of one text", list + `{"type":"` + strings.Repeat("x", 31<<20) + `"}]}`, `missing field \"id\"`, false},
		{"31 MB of digits", list + strings.Repeat("9", 31<<20) + `]}`, "number", false},
		{"31 MB of nothing", strings.Repeat(" ", 31<<20), "", false},
	}
}

// TestHugeFilesAreRefused sends lists to a service that nobody can use, one by one
// and many at a time, and saves them in its folder. Each is refused, the service goes
// on with what it had, and its process stays within maxHugeMemory.
func TestHugeFilesAreRefused(t *testing.T) {
	dir := quickFolder(t)
	c := startChild(t, "--region", dir)
	put := func(content string) reply {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPut, c.address+"/v1/region/files/"+region.FacilitiesFile, io.LimitReader(strings.NewReader(content), 1<<30))
		require.NoError(t, err) // a reader that says nothing of its length: the body is sent in chunks
		r.Header.Set("Content-Type", "application/geo+json")
		r.Header.Set("If-Match", "*")
		answer, err := http.DefaultClient.Do(r)
		if err != nil { // it may hang up on whom it has refused before all is sent
			return reply{}
		}
		text, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
		return reply{answer.StatusCode, answer.Header, string(text)}
	}
	unharmed := func(t *testing.T) {
		t.Helper()
		assert.EqualValues(t, 1, regionAt(t, c.address).Version)
		_, most := c.memory(t)
		t.Logf("at most %d MB so far", most>>20)
		require.Less(t, most, int64(maxHugeMemory))
	}
	good, err := os.ReadFile(filepath.Join(dir, region.FacilitiesFile))
	require.NoError(t, err)
	for _, tt := range huge() {
		t.Run(tt.name, func(t *testing.T) {
			r := put(tt.content)
			if len(tt.content) > 32<<20 {
				assert.Contains(t, []int{0, http.StatusRequestEntityTooLarge}, r.code)
			} else {
				assert.Equal(t, http.StatusUnprocessableEntity, r.code)
				assert.Contains(t, r.body, tt.says)
			}
			unharmed(t)
			if !tt.byHand {
				return
			}
			path := filepath.Join(dir, region.FacilitiesFile)
			require.NoError(t, os.WriteFile(path, []byte(tt.content), 0o644))
			faults := func() string { return sent(t, "GET", c.address+"/v1/region/faults", "").body }
			require.Eventually(t, func() bool { return strings.Contains(faults(), `"pointer"`) || strings.Contains(faults(), `"detail"`) },
				time.Minute, 20*time.Millisecond)
			assert.Contains(t, faults(), tt.says)
			assert.Less(t, len(faults()), 1<<20)
			unharmed(t)
			require.NoError(t, os.WriteFile(path, good, 0o644))
			require.Eventually(t, func() bool { return strings.Contains(faults(), `"faults":[]`) }, time.Minute, 20*time.Millisecond)
		})
	}
	t.Run("six at a time", func(t *testing.T) {
		million := huge()[1].content
		var all sync.WaitGroup
		for range 6 {
			all.Go(func() {
				r := put(million)
				assert.Contains(t, []int{http.StatusUnprocessableEntity, http.StatusServiceUnavailable}, r.code, fmt.Sprintf("%.300s", r.body))
			})
		}
		all.Wait()
		unharmed(t)
	})
	now, err := os.ReadFile(filepath.Join(dir, region.FacilitiesFile))
	require.NoError(t, err)
	assert.True(t, bytes.Equal(good, now), "the file is what it was")
}
