package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/record"
	"surgeonward/api/region"
	"surgeonward/testdata"
)

// recorded asks a handler and returns the id and the answer.
func recorded(t testing.TB, h http.Handler, path, body string) (id, answer string) {
	t.Helper()
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	require.Less(t, w.Code, 300, "%s", w.Body)
	return w.Header().Get("Surgeonward-Record"), w.Body.String()
}

// demoRecord makes a record of three questions, as a desk would, each asked a
// quarter of a minute after its decision time.
func demoRecord(t testing.TB, dir string) (ids []string) {
	t.Helper()
	r, report := region.Demo()
	require.Empty(t, report.Faults)
	var held api.Holder
	held.Hold(r)
	var now time.Time
	clock := func() time.Time { return now }
	store, _, err := record.Open(dir, record.Options{Now: clock})
	require.NoError(t, err)
	defer func() { require.NoError(t, store.Close()) }()
	h, err := api.New(api.Config{Source: &held, Now: clock, Build: version(), Record: store})
	require.NoError(t, err)
	for _, c := range []struct{ question, at, choice, arrived string }{
		{"harbour-stabbing", "2031-03-14T21:40:15Z", "road:amb-11+car-1:ossuvaune-general", "2031-03-14T22:14:00Z"},
		{"woods-by-night", "2031-03-14T22:10:15Z", "", ""},
		{"cliff-path", "2031-09-20T16:05:15Z", "air:heli-4+car-3:ettuquar-chest", "2031-09-20T17:21:30Z"},
	} {
		body, err := fs.ReadFile(testdata.Scenarios, c.question+".json")
		require.NoError(t, err)
		now, err = time.Parse(time.RFC3339, c.at)
		require.NoError(t, err)
		id, _ := recorded(t, h, "/v1/options", string(body))
		ids = append(ids, id)
		if c.choice == "" {
			continue
		}
		recorded(t, h, "/v1/records/"+id+"/choice", `{"option":"`+c.choice+`"}`)
		recorded(t, h, "/v1/records/"+id+"/facts", `{"what":"with_surgeon","at":"`+c.arrived+`"}`)
	}
	return ids
}

func TestReplay(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	ids := demoRecord(t, dir)
	for i, name := range []string{"harbour-stabbing", "woods-by-night", "cliff-path"} {
		got := call(t, "", "replay", ids[i], "--record", dir)
		assert.Equal(t, exitOK, got.code, got.errors)
		assert.Contains(t, got.out, "\nsame, byte for byte\n")
		assert.Contains(t, got.out, "DEMONSTRATION: ")
		asJSON := call(t, "", "replay", strings.ToLower(ids[i]), "--record", dir, "--json")
		assert.Equal(t, exitOK, asJSON.code)
		assert.Contains(t, asJSON.errors, "same, byte for byte")
		assert.Equal(t, call(t, "", "options", "--scenario", name, "--json").out, asJSON.out)
	}
}

// TestReplayIsNotTheSame: another region, another program, data that decayed.
func TestReplayIsNotTheSame(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	id := demoRecord(t, dir)[0]

	other := t.TempDir()
	require.NoError(t, os.CopyFS(other, testdata.Demo))
	settings := filepath.Join(other, region.SettingsFile)
	text, err := os.ReadFile(settings)
	require.NoError(t, err)
	changed := strings.Replace(string(text), `"road_factor": 1.3`, `"road_factor": 1.4`, 1)
	require.NotEqual(t, string(text), changed)
	require.NoError(t, os.WriteFile(settings, []byte(changed), 0o600))
	got := call(t, "", "replay", id, "--record", dir, "--region", other)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.out, "\nnot the same: /")
	assert.Contains(t, got.out, "\nother data than then: parameters\n")
	assert.Contains(t, got.out, "(of road_factor): recorded 1.3, now 1.4\n")
	assert.NotContains(t, got.out, "this is build")

	before := build
	build = "another"
	defer func() { build = before }()
	got = call(t, "", "replay", id, "--record", dir)
	assert.Equal(t, exitOK, got.code, "the same arithmetic gives the same bytes under any name")
	assert.Contains(t, got.out, "; this is build another\n")

	blobs, err := filepath.Glob(filepath.Join(dir, "blobs", "*", "*"))
	require.NoError(t, err)
	require.Len(t, blobs, 5)
	for _, blob := range blobs {
		require.NoError(t, os.WriteFile(blob, []byte("{}"), 0o600))
	}
	got = call(t, "", "replay", id, "--record", dir)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.errors, "damaged")
	assert.Empty(t, got.out)
}

func TestReview(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	ids := demoRecord(t, dir)
	span := []string{"review", "2031-03-14", "2031-09-20T14:05:16-02:00", "--record", dir}

	got := call(t, "", span...)
	require.Equal(t, exitOK, got.code, got.errors)
	for _, want := range append(ids, "DEMONSTRATION: ", "3 cases, 2 with a choice, 2 of them with the arrival", "+3.0     yes") {
		assert.Contains(t, got.out, want)
	}

	lines, err := csv.NewReader(strings.NewReader(call(t, "", append(span, "--csv")...).out)).ReadAll()
	require.NoError(t, err)
	require.Len(t, lines, 4)
	var form struct {
		Cases []struct {
			ID, Chosen string
			Rank       int
			Predicted  time.Time `json:"predicted_at"`
			Happened   []struct {
				DifferenceS int64 `json:"difference_s"`
			}
		}
		Summary struct {
			Arrived int
			Median  float64 `json:"median_difference_s"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(call(t, "", append(span, "--json")...).out), &form))
	require.Len(t, form.Cases, 3)
	column := func(line int, name string) string {
		for i, c := range lines[0] {
			if c == name {
				return lines[line][i]
			}
		}
		t.Fatalf("no column %s", name)
		return ""
	}
	for i, c := range form.Cases {
		assert.Equal(t, c.ID, column(i+1, "id"))
		assert.Equal(t, c.Chosen, column(i+1, "chosen"))
		if len(c.Happened) == 0 {
			assert.Empty(t, column(i+1, "difference_s"))
			continue
		}
		assert.Equal(t, strconv.FormatInt(c.Happened[0].DifferenceS, 10), column(i+1, "difference_s"))
		arrived, err := time.Parse(time.RFC3339, column(i+1, "with_surgeon_at"))
		require.NoError(t, err)
		assert.InDelta(t, arrived.Sub(c.Predicted).Seconds(), float64(c.Happened[0].DifferenceS), 1, "identity, within rounding to the second")
	}
	assert.Equal(t, 1, form.Cases[0].Rank)
	assert.Equal(t, 2, form.Summary.Arrived)
	assert.InDelta(t, float64(form.Cases[0].Happened[0].DifferenceS+form.Cases[2].Happened[0].DifferenceS)/2, form.Summary.Median, 1e-9, "the mean of the middle two")

	assert.Contains(t, call(t, "", "review", "2031-03-15", "2031-09-20T16:05:15Z", "--record", dir).out, "0 cases")
}

// TestReviewOfDamage says what is lost, prints the rest, and fails.
func TestReviewOfDamage(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	ids := demoRecord(t, dir)
	files, err := filepath.Glob(filepath.Join(dir, "segments", "*.jsonl"))
	require.NoError(t, err)
	text, err := os.ReadFile(files[0])
	require.NoError(t, err)
	text[300] ^= 1
	require.NoError(t, os.WriteFile(files[0], text, 0o600))
	got := call(t, "", "review", "2031-03-14", "2031-12-31", "--record", dir)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.errors, "record damaged: segments/000000000001.jsonl line 1 ")
	assert.NotContains(t, got.out, ids[0])
	assert.Contains(t, got.out, ids[2])
}

// Source of every row: the exit codes of run's comment.
func TestRecordUsage(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	demoRecord(t, dir)
	for _, tc := range []struct {
		name string
		args []string
		code int
		want string
	}{
		{"replay of no record", []string{"replay", "222-223P"}, exitUsage, "--record"},
		{"replay of nothing", []string{"replay", "--record", dir}, exitUsage, "<id>"},
		{"misheard", []string{"replay", "222-223D", "--record", dir}, exitFailed, "ask for it again"},
		{"never given", []string{"replay", record.FormatID(500), "--record", dir}, exitFailed, "not in the record"},
		{"no such folder", []string{"replay", "222-223P", "--record", dir + "-not"}, exitFailed, "no record is kept in"},
		{"no such region", []string{"replay", "222-223P", "--record", dir, "--region", dir + "-not"}, exitFailed, "no such file"},
		{"no day", []string{"review", "yesterday", "2031-03-15", "--record", dir}, exitUsage, "FROM: write a day"},
		{"no such day", []string{"review", "2031-03-14", "2031-02-30", "--record", dir}, exitUsage, "TO: write a day"},
		{"backwards", []string{"review", "2031-03-15", "2031-03-14", "--record", dir}, exitUsage, "TO is not after FROM"},
		{"two forms", []string{"review", "2031-03-14", "2031-03-15", "--record", dir, "--csv", "--json"}, exitUsage, "can't be used together"},
		{"too small", []string{"serve", "--record", dir, "--record-mb", "1"}, exitUsage, "--record-mb: must be 64 to "},
		{"beyond all sizes", []string{"serve", "--record", dir, "--record-mb", "9000000000000"}, exitUsage, "--record-mb: must be 64 to "},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := call(t, "", tc.args...)
			assert.Equal(t, tc.code, got.code, got.errors)
			assert.Contains(t, got.errors, tc.want)
			assert.Empty(t, got.out)
		})
	}
}

// TestServeRecords: a server records, a second one is refused, reading goes on
// beside it, and what was recorded outlasts it.
func TestServeRecords(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	var stdout, stderr screen
	address, stop := serving(t, &stdout, &stderr, &stdout, "--record", dir)
	assert.Contains(t, stdout.String(), "recording: every answer into "+dir)
	client := &http.Client{Timeout: 20 * time.Second}
	defer client.CloseIdleConnections()
	response, err := client.Get(address + "/v1/options?scene=45.52,-29.41&only=amb-11")
	require.NoError(t, err)
	answer, err := io.ReadAll(response.Body)
	require.NoError(t, err)
	require.NoError(t, response.Body.Close())
	id := response.Header.Get("Surgeonward-Record")

	refused := call(t, "", "serve", "--listen", "127.0.0.1:0", "--record", dir)
	assert.Equal(t, exitFailed, refused.code)
	assert.Contains(t, refused.errors, "(process "+strconv.Itoa(os.Getpid())+"): stop it first")
	assert.Contains(t, refused.errors, "each server needs a folder of its own")
	assert.Empty(t, refused.out, "it never listened")

	replayed := func() {
		got := call(t, "", "replay", id, "--record", dir, "--json")
		assert.Equal(t, exitOK, got.code, got.errors)
		assert.Equal(t, string(answer), got.out)
	}
	replayed() // while it serves
	assert.Equal(t, exitOK, stop())
	replayed()
}

func TestServeOnAFolderThatIsNone(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	got := call(t, "", "serve", "--listen", "127.0.0.1:0", "--record", file)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.errors, "leave --record out to serve without a record")
	assert.Empty(t, got.out)
}

// TestServeLogsWhatACrashLeft: half a line is cut off, and said.
func TestServeLogsWhatACrashLeft(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	demoRecord(t, dir)
	files, err := filepath.Glob(filepath.Join(dir, "segments", "*.jsonl"))
	require.NoError(t, err)
	f, err := os.OpenFile(files[0], os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString(`{"format":1,"crc32c":"00`)
	require.NoError(t, errors.Join(err, f.Close()))
	var stdout, stderr screen
	_, stop := serving(t, &stdout, &stderr, &stdout, "--record", dir)
	assert.Contains(t, stderr.String(), "half a line: segments/000000000001.jsonl")
	assert.Equal(t, exitOK, stop())
}

// TestWatchRecord: each change is said once.
func TestWatchRecord(t *testing.T) {
	trouble := errors.New("drop segments/000000000001.jsonl: no permission")
	states := []record.Stats{{}, {Trouble: trouble}, {Trouble: trouble}, {Dropped: 2}, {Dropped: 2}, {Dropped: 3}}
	var log bytes.Buffer
	ticks := make(chan time.Time)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	i := -1
	go func() {
		defer close(done)
		watchRecord(ctx, func() record.Stats { i++; return states[i] }, ticks, zerolog.New(&log))
	}()
	for range states[1:] {
		ticks <- time.Time{}
	}
	cancel()
	<-done
	lines := strings.Split(strings.TrimSpace(log.String()), "\n")
	require.Len(t, lines, 4)
	assert.Contains(t, lines[0], "cannot be kept within its size")
	assert.Contains(t, lines[0], trouble.Error())
	assert.Contains(t, lines[1], "within its size again")
	assert.Contains(t, lines[2], `"segments":2`)
	assert.Contains(t, lines[3], `"segments":1`)
}
