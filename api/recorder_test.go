package api_test

import (
	"bytes"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/record"
	"surgeonward/testdata"
)

// recordHeader has the id of a recorded answer.
const recordHeader = "Surgeonward-Record"

// precise is a clock that is not at a whole second.
var precise = now.Add(123456789 * time.Nanosecond)

// recording serves the demo region with a record in a folder.
func recording(t testing.TB, dir string, change ...func(*api.Config)) (http.Handler, *record.Store) {
	t.Helper()
	clock := func() time.Time { return precise }
	store, report, err := record.Open(dir, record.Options{Now: clock})
	require.NoError(t, err)
	require.Empty(t, report.Sentences())
	t.Cleanup(func() { require.NoError(t, store.Close()) })
	h := handler(t, append([]func(*api.Config){func(c *api.Config) { c.Record, c.Now = store, clock }}, change...)...)
	return h, store
}

// visiting is a question with an asset of its own.
const visiting = `{"scene":{"position":[-29.41,45.52]},"limit":2,"assets":{"only":["visiting-1","heli-1"],"add":[
	{"id":"visiting-1","name":"Visiting ambulance 3","kind":"ambulance","state":"moving","position":[-29.44,45.53],"skills":["physician"]}]}}`

// recordedCalls are questions of every kind that is recorded. None but the
// scenarios names a time: the clock stands in.
func recordedCalls(t testing.TB) map[string]call {
	t.Helper()
	out := map[string]call{
		"least":    {method: "POST", path: "/v1/options", body: someWhere},
		"visiting": {method: "POST", path: "/v1/options", body: visiting},
		"under way": {method: "POST", path: "/v1/options", body: `{"scene":{"position":[-29.41,45.52],"landing":"impossible"},"limit":3,
			"happened":[{"event":"alerted","at":"2031-03-14T21:30:00Z","facility":"ossuvaune-general"},{"asset":"amb-11","event":"at_scene","at":"2031-03-14T21:29:00Z"},
			{"asset":"amb-11","event":"patient_loaded","at":"2031-03-14T21:39:30Z"}],"output_lost_at":"2031-03-14T21:35:00Z","output_regained_at":"2031-03-14T21:36:00Z"}`},
		"quick":         {method: "GET", path: "/v1/options?scene=45%2031.2N%20029%2024.6W&limit=3&age_years=6.5&wind_from_deg=240&wind_speed_kt=18.25&needs=ecmo&winch=true"},
		"quick with at": {method: "GET", path: "/v1/options?facility=quorreth-hospital&at=2031-06-14T23:40:00+02:00&only=heli-1,amb-11&report=METAR+QQLU+142120Z+25020KT+9999+SCT030+09/07+Q0991"},
		"reach":         {method: "POST", path: "/v1/reach", body: `{"scene":{"position":[-29.41,45.52],"landing":"impossible"},"window":"erc_2021"}`},
	}
	for name, body := range scenarios(t) {
		out[name] = call{method: "POST", path: "/v1/options", body: body}
	}
	return out
}

// observer looks into the record's folder when the first byte is sent.
type observer struct {
	*httptest.ResponseRecorder
	sent func(http.Header)
}

func (o *observer) WriteHeader(status int) {
	o.sent(o.Header())
	o.ResponseRecorder.WriteHeader(status)
}

// TestRecordedBeforeItIsSent: another process finds the answer on the disk
// before the caller has it. Source: definition.
func TestRecordedBeforeItIsSent(t *testing.T) {
	dir := t.TempDir()
	h, _ := recording(t, dir)
	unrecorded := handler(t, func(c *api.Config) { c.Now = func() time.Time { return precise } })
	for name, c := range recordedCalls(t) {
		t.Run(name, func(t *testing.T) {
			for _, accept := range []string{"application/json", "application/geo+json"} {
				if accept != "application/json" && name != "visiting" && name != "quick" {
					continue
				}
				r := httptest.NewRequest(c.method, c.path, strings.NewReader(c.body))
				r.Header.Set("Content-Type", "application/json")
				r.Header.Set("Accept", accept)
				var rec record.Record
				w := &observer{httptest.NewRecorder(), func(header http.Header) {
					reader, _, err := record.OpenReadOnly(dir)
					require.NoError(t, err)
					rec, err = reader.Get(header.Get(recordHeader))
					require.NoError(t, err)
				}}
				h.ServeHTTP(w, r)
				require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
				require.Equal(t, accept, w.Header().Get("Content-Type"))

				plain := do(unrecorded, c)
				assert.Equal(t, plain.Body.String(), string(rec.Answer), "the JSON form, also where a map was asked for")
				assert.Empty(t, plain.Header().Values(recordHeader), "no record is kept there")
				assert.Equal(t, strings.TrimPrefix(c.path, "/v1/") == "reach", rec.Asked == "reach")
				assert.Equal(t, precise, rec.MadeAt)
				assert.Equal(t, "test", rec.Versions["engine"])
				if c.method == http.MethodPost {
					assert.Equal(t, c.body, string(rec.Request), "to the byte")
				} else {
					again := post(unrecorded, string(rec.Request))
					assert.Equal(t, plain.Body.String(), again.Body.String(), "%s asks the same", rec.Request)
				}
			}
		})
	}
}

// TestRecordHasTheFiles: each file of the region to the byte, kept once.
func TestRecordHasTheFiles(t *testing.T) {
	h, store := recording(t, t.TempDir())
	rec, err := store.Get(post(h, oneAsset).Header().Get(recordHeader))
	require.NoError(t, err)
	names := map[string]string{}
	for _, d := range rec.Data {
		content, err := store.Blob(d.Hash)
		require.NoError(t, err)
		names[d.Name] = string(content)
	}
	require.Len(t, names, 5)
	for _, name := range []string{"facilities.geojson", "fleet.json", "settings.json", "roads.geojson"} {
		want, err := fs.ReadFile(testdata.Demo, name)
		require.NoError(t, err)
		assert.Equal(t, string(want), names[name], name)
	}
	assert.Equal(t, get(h, "/v1/parameters").Body.String(), names["parameters.json"])

	before := store.Stats().Bytes
	post(h, oneAsset)
	assert.Less(t, store.Stats().Bytes-before, int64(20_000), "no file is kept twice")
}

func TestHeadIsNotRecorded(t *testing.T) {
	h, store := recording(t, t.TempDir())
	w := do(h, call{method: http.MethodHead, path: "/v1/options?scene=45.52,-29.41"})
	assert.Equal(t, http.StatusOK, w.Code)
	assert.Empty(t, w.Header().Values(recordHeader))
	assert.Zero(t, store.Stats().Records)
}

// TestWordsAboutSomebody: a question in which somebody could be described is
// answered, and neither recorded nor logged.
func TestWordsAboutSomebody(t *testing.T) {
	const name = "Thorvaldine"
	asset := func(members string) string {
		return `{"scene":{"position":[-29.41,45.52]},"assets":{"only":["a-1"],"add":[{"id":"a-1","kind":"ambulance","state":"at_scene",` + members + `}]}}`
	}
	for _, tt := range []struct{ name, path, body string }{
		{"member of one's own", "/v1/options", asset(`"name":"Ambulance","x_patient":"` + name + `"`)},
		{"sentence for a name", "/v1/options", asset(`"name":"ambulance that carries ` + name + `"`)},
		{"number of a person", "/v1/options", asset(`"name":"` + name + ` 19700101"`)},
		{"remark in a report", "/v1/options", `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52]},"limit":1,
			"conditions":{"reports":["METAR QQOV 142120Z 24018KT 8000 BKN018 09/07 Q0991 RMK patient ` + name + ` stabbed twice"]}}`},
		{"reach", "/v1/reach", asset(`"name":"ambulance that carries ` + name + `"`)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			var log bytes.Buffer
			h, store := recording(t, dir, func(c *api.Config) { c.Logger = zerolog.New(&log) })
			w := do(h, call{method: "POST", path: tt.path, body: tt.body})
			require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
			assert.Equal(t, []string{"none"}, w.Header().Values(recordHeader))
			assert.Zero(t, store.Stats().Records)
			assert.Contains(t, log.String(), `"why":"the question could hold words about somebody"`)
			assert.Contains(t, log.String(), `"message":"not recorded"`)
			assert.NotContains(t, log.String(), name)
			require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
				require.NoError(t, err)
				if d.Type().IsRegular() {
					content, err := os.ReadFile(path)
					require.NoError(t, err)
					assert.NotContains(t, string(content), name, path)
				}
				return nil
			}))
		})
	}
}

// TestTroubleIsNoReasonNotToAnswer: whatever the disk does, the answer is the
// one that is given without a record.
func TestTroubleIsNoReasonNotToAnswer(t *testing.T) {
	plain := post(handler(t, func(c *api.Config) { c.Now = func() time.Time { return precise } }), oneAsset).Body.String()
	unrecorded := func(t *testing.T, h http.Handler, log *bytes.Buffer, why string) {
		t.Helper()
		log.Reset()
		w := post(h, oneAsset)
		require.Equal(t, http.StatusOK, w.Code)
		assert.Equal(t, plain, w.Body.String())
		assert.Equal(t, []string{"none"}, w.Header().Values(recordHeader))
		assert.Contains(t, log.String(), why)
		assert.NotContains(t, log.String(), "45.52")
	}
	logged := func(log *bytes.Buffer) func(*api.Config) {
		return func(c *api.Config) { c.Logger = zerolog.New(log) }
	}
	t.Run("closed", func(t *testing.T) {
		var log bytes.Buffer
		h, store := recording(t, t.TempDir(), logged(&log))
		require.NoError(t, store.Close())
		unrecorded(t, h, &log, "the record is closed")
	})
	t.Run("folder gone", func(t *testing.T) {
		var log bytes.Buffer
		dir := t.TempDir()
		h, _ := recording(t, dir, logged(&log))
		require.NoError(t, os.RemoveAll(dir))
		unrecorded(t, h, &log, "another trouble")
		require.NoError(t, os.MkdirAll(filepath.Join(dir, "segments"), 0o700))
		assert.NotEqual(t, "none", post(h, oneAsset).Header().Get(recordHeader), "it goes on when the folder is back")
	})
	t.Run("full disk", func(t *testing.T) {
		var log bytes.Buffer
		h, _ := recording(t, filepath.Join(smallDisk(t), "record"), logged(&log))
		unrecorded(t, h, &log, "the disk is full")
	})
	t.Run("read-only folder", func(t *testing.T) {
		if os.Getuid() == 0 {
			t.Skip("root may write anywhere; the other cases stand in")
		}
		var log bytes.Buffer
		dir := t.TempDir()
		h, _ := recording(t, dir, logged(&log))
		for _, folder := range []string{"segments", "blobs"} {
			require.NoError(t, os.Chmod(filepath.Join(dir, folder), 0o500))
			defer func() { require.NoError(t, os.Chmod(filepath.Join(dir, folder), 0o700)) }()
		}
		unrecorded(t, h, &log, "the folder may not be written")
	})
}

// smallDisk mounts a file system with less room than the demo region's files
// take, where the machine lets this user.
func smallDisk(t *testing.T) string {
	t.Helper()
	if runtime.GOOS != "linux" || os.Getuid() != 0 {
		t.Skip("needs Linux and root to mount a small file system; the other cases stand in")
	}
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=32k", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no small file system can be mounted: %s; the other cases stand in", out)
	}
	t.Cleanup(func() { require.NoError(t, exec.Command("umount", dir).Run()) })
	return dir
}

// TestNameOfTheBuild: one that could not be recorded is refused at once.
func TestNameOfTheBuild(t *testing.T) {
	held := &api.Holder{}
	store, _, err := record.Open(t.TempDir(), record.Options{})
	require.NoError(t, err)
	defer func() { require.NoError(t, store.Close()) }()
	_, err = api.New(api.Config{Source: held, Record: store, Build: "my build"})
	require.ErrorContains(t, err, `"my build"`)
}
