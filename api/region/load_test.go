package region_test

import (
	"bytes"
	"io/fs"
	"maps"
	"os"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
	"surgeonward/api/region"
	"surgeonward/routing/road"
	"surgeonward/testdata"
)

// folder copies the demo region into memory, with files changed or, by a nil
// value, taken away.
func folder(t testing.TB, change map[string][]byte) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	for _, name := range []string{region.FacilitiesFile, region.FleetFile, region.SettingsFile, region.RoadsFile} {
		data, err := fs.ReadFile(testdata.Demo, name)
		require.NoError(t, err)
		out[name] = &fstest.MapFile{Data: data}
	}
	for name, data := range change {
		if data == nil {
			delete(out, name)
			continue
		}
		out[name] = &fstest.MapFile{Data: data}
	}
	return out
}

func TestDemo(t *testing.T) {
	r, report := region.Demo()
	require.Empty(t, report.Faults)
	assert.Empty(t, report.Warnings, "the demo region is an example to follow")
	require.NotNil(t, r)
	assert.True(t, r.Demonstration)
	assert.NotEmpty(t, r.Name)
	assert.NotNil(t, r.Engine)
	roads, ok := r.Roads()
	assert.True(t, ok)
	assert.NotEmpty(t, roads)
	assert.IsType(t, &road.Terrain{}, r.Engine.Road)
	for _, hash := range []string{r.Hashes.Parameters, r.Hashes.Facilities, r.Hashes.Fleet, r.Hashes.Roads} {
		assert.Regexp(t, `^[0-9a-f]{64}$`, hash)
	}
	for _, f := range r.Facilities.All() {
		feature, ok := r.Feature(f.ID)
		require.True(t, ok, f.ID)
		assert.Contains(t, string(feature), `"id":"`+f.ID+`"`)
		assert.NotContains(t, string(feature), "\n")
	}
	for _, a := range r.Fleet.Assets() {
		asset, ok := r.Asset(a.ID)
		require.True(t, ok, a.ID)
		assert.Contains(t, string(asset), `"id":"`+a.ID+`"`)
	}
	_, ok = r.Feature("nowhere")
	assert.False(t, ok)
	_, ok = r.Asset("")
	assert.False(t, ok)
}

// TestHandsOutCopies: a snapshot that a caller could write to would be none.
func TestHandsOutCopies(t *testing.T) {
	r, _ := region.Demo()
	for _, read := range []func() []byte{
		r.FleetFile,
		func() []byte { b, _ := r.Roads(); return b },
		func() []byte { b, _ := r.Asset("heli-1"); return b },
		func() []byte { b, _ := r.Feature("ettuquar-chest"); return b },
	} {
		before := bytes.Clone(read())
		clear(read())
		assert.Equal(t, before, read())
	}
}

func TestRoadsMayBeAbsent(t *testing.T) {
	r, report := region.Load(folder(t, map[string][]byte{region.RoadsFile: nil}))
	require.Empty(t, report.Faults)
	_, ok := r.Roads()
	assert.False(t, ok)
	assert.Empty(t, r.Hashes.Roads)
	assert.Equal(t, road.GreatCircle{Factor: r.Settings.RoadFactor}, r.Engine.Road)
}

func TestFaults(t *testing.T) {
	demo := folder(t, nil)
	fleet := string(demo[region.FleetFile].Data)
	places := string(demo[region.FacilitiesFile].Data)
	roads := string(demo[region.RoadsFile].Data)
	tests := []struct {
		name   string
		change map[string][]byte
		want   []string // beginnings of the faults, in order
	}{
		{
			"no files at all",
			map[string][]byte{region.SettingsFile: nil, region.FacilitiesFile: nil, region.FleetFile: nil, region.RoadsFile: nil},
			[]string{
				"settings.json (file): the file is missing",
				"facilities.geojson (file): the file is missing",
				"fleet.json (file): the file is missing",
			},
		},
		{
			"empty files",
			map[string][]byte{region.SettingsFile: {}, region.FacilitiesFile: {}, region.FleetFile: {}},
			[]string{
				"settings.json (file): the document is empty",
				"facilities.geojson (file): the document is empty",
				"fleet.json (file): the document is empty",
			},
		},
		{
			"one fault in each file",
			map[string][]byte{
				region.SettingsFile:   []byte(`{"region":{"name":"X","time_zone":"Nowhere/Land"}}`),
				region.FacilitiesFile: []byte(strings.Replace(places, `"lit": true`, `"lit": "yes"`, 1)),
				region.FleetFile:      []byte(strings.Replace(fleet, `"base": "air-ossuvaune"`, `"base": "nowhere"`, 1)),
				region.RoadsFile:      []byte(strings.Replace(roads, `"kind": "crossing"`, `"kind": "crosing"`, 1)),
			},
			[]string{
				"settings.json /region/time_zone: unknown time zone",
				"facilities.geojson ossuvaune-general /features/0/properties/pad/lit: ",
				`did you mean "crossing"?`,
			},
		},
		{
			"a table of minima in settings that are at fault",
			map[string][]byte{
				region.SettingsFile: []byte(`{"region":{"name":"X","time_zone":"Nowhere/Land"}}`),
				region.FleetFile:    []byte(strings.Replace(fleet, `"kind": "helicopter",`, `"kind": "helicopter", "minima": "own_table",`, 1)),
			},
			[]string{"settings.json /region/time_zone: unknown time zone"},
		},
		{
			"an empty roads file",
			map[string][]byte{region.RoadsFile: {}},
			[]string{"roads.geojson (file): the document is empty"},
		},
		{
			"a base that is not in the list",
			map[string][]byte{region.FleetFile: []byte(strings.Replace(fleet, `"base": "air-ossuvaune"`, `"base": "air-ossuvane"`, 1))},
			[]string{`fleet.json /assets/0/base: no facility "air-ossuvane" in the list: did you mean "air-ossuvaune"?`},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, report := region.Load(folder(t, tt.change))
			assert.Nil(t, r)
			require.Len(t, report.Faults, len(tt.want), "%v", report.Faults)
			for i, want := range tt.want {
				assert.Contains(t, report.Faults[i].String(), want)
			}
		})
	}
}

// TestForeignMembers: "ID" is a member of the file's own, not the facility's id.
func TestForeignMembers(t *testing.T) {
	places := folder(t, nil)[region.FacilitiesFile].Data
	changed := strings.Replace(string(places), `"id": "ettuquar-chest",`, `"id": "ettuquar-chest", "x_ID": 1,`, 1)
	r, report := region.Load(folder(t, map[string][]byte{region.FacilitiesFile: []byte(changed)}))
	require.Empty(t, report.Faults)
	feature, ok := r.Feature("ettuquar-chest")
	require.True(t, ok)
	assert.Contains(t, string(feature), `"x_ID":1`)
	assert.Equal(t, changed, string(r.Facilities.Encode()))
}

// odd is a file system whose one file lies about itself.
type odd struct {
	fstest.MapFS
	name string
	info fs.FileInfo
	body []byte
}

func (o odd) Open(name string) (fs.File, error) {
	if name != o.name {
		return o.MapFS.Open(name)
	}
	return &oddFile{info: o.info, Reader: bytes.NewReader(o.body)}, nil
}

func (o odd) Stat(name string) (fs.FileInfo, error) {
	if name != o.name {
		return o.MapFS.Stat(name)
	}
	return o.info, nil
}

type oddFile struct {
	*bytes.Reader
	info fs.FileInfo
}

func (f *oddFile) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f *oddFile) Close() error               { return nil }

type oddInfo struct {
	size int64
	mode fs.FileMode
}

func (i oddInfo) Name() string       { return region.SettingsFile }
func (i oddInfo) Size() int64        { return i.size }
func (i oddInfo) Mode() fs.FileMode  { return i.mode }
func (i oddInfo) ModTime() time.Time { return time.Time{} }
func (i oddInfo) IsDir() bool        { return i.mode.IsDir() }
func (i oddInfo) Sys() any           { return nil }

func TestFilesThatAreNone(t *testing.T) {
	long := bytes.Repeat([]byte(" "), 1<<20+1)
	tests := []struct {
		name string
		info oddInfo
		body []byte
		want string
	}{
		{"too long", oddInfo{size: 1 << 40}, nil, "longer than 1048576 bytes"},
		{"longer than it says", oddInfo{size: 10}, long, "longer than 1048576 bytes"},
		{"a folder", oddInfo{mode: fs.ModeDir}, nil, "not a regular file"},
		{"a pipe", oddInfo{mode: fs.ModeNamedPipe}, nil, "not a regular file"},
		{"a device", oddInfo{mode: fs.ModeDevice}, nil, "not a regular file"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, report := region.Load(odd{folder(t, nil), region.SettingsFile, tt.info, tt.body})
			assert.Nil(t, r)
			require.NotEmpty(t, report.Faults)
			assert.Equal(t, region.SettingsFile, report.Faults[0].File)
			assert.Contains(t, report.Faults[0].Detail, tt.want)
		})
	}
}

// TestFaultsDoNotSayWhere: a report names the file, not the folder's path on
// the machine.
func TestFaultsDoNotSayWhere(t *testing.T) {
	path := t.TempDir()
	_, report := region.Load(os.DirFS(path))
	require.Len(t, report.Faults, 3)
	for _, f := range report.Faults {
		assert.NotContains(t, f.String(), path)
	}
	require.NoError(t, os.Mkdir(path+"/"+region.FleetFile, 0o755))
	_, report = region.Load(os.DirFS(path))
	require.Len(t, report.Faults, 3)
	for _, f := range report.Faults {
		assert.NotContains(t, f.String(), path)
	}
}

// TestHashes: the same content has the same hashes, whatever its layout; any
// change to one file changes its own hash and no other's.
func TestHashes(t *testing.T) {
	base, _ := region.Demo()
	demo := folder(t, nil)
	spaced := map[string][]byte{}
	for name, file := range demo {
		spaced[name] = append([]byte("\n \t"), file.Data...)
	}
	same, report := region.Load(folder(t, spaced))
	require.Empty(t, report.Faults)
	assert.Equal(t, base.Hashes, same.Hashes)

	changed := maps.Clone(spaced)
	changed[region.FleetFile] = bytes.Replace(demo[region.FleetFile].Data, []byte(`"cruise_kt": 137`), []byte(`"cruise_kt": 138`), 1)
	other, report := region.Load(folder(t, changed))
	require.Empty(t, report.Faults)
	assert.NotEqual(t, base.Hashes.Fleet, other.Hashes.Fleet)
	assert.Equal(t, base.Hashes.Facilities, other.Hashes.Facilities)
	assert.Equal(t, base.Hashes.Parameters, other.Hashes.Parameters)
	assert.Equal(t, base.Hashes.Roads, other.Hashes.Roads)

	changed = maps.Clone(spaced)
	changed[region.RoadsFile] = bytes.Replace(demo[region.RoadsFile].Data, []byte(`"kind": "barrier"`), []byte(`"x_a": 1, "kind": "barrier"`), 1)
	other, report = region.Load(folder(t, changed))
	require.Empty(t, report.Faults)
	assert.NotEqual(t, base.Hashes.Roads, other.Hashes.Roads)
	assert.Equal(t, base.Hashes.Fleet, other.Hashes.Fleet)
}

// TestFromFiles: the files themselves make the region that their folder makes.
func TestFromFiles(t *testing.T) {
	want, _ := region.Demo()
	files := map[string][]byte{}
	for _, d := range want.Data() {
		content, err := fs.ReadFile(testdata.Demo, d.Name)
		require.NoError(t, err)
		assert.Equal(t, string(content), string(d.Bytes), d.Name)
		assert.Equal(t, record.Sum(content), d.Hash, d.Name)
		files[d.Name] = d.Bytes
	}
	require.Len(t, files, 4)
	r, report := region.FromFiles(files)
	require.Empty(t, report.Faults)
	assert.Equal(t, want.Hashes, r.Hashes)
	assert.Equal(t, want.Name, r.Name)

	delete(files, region.RoadsFile)
	r, report = region.FromFiles(files)
	require.Empty(t, report.Faults)
	assert.Empty(t, r.Hashes.Roads)
	assert.Len(t, r.Data(), 3)

	for _, name := range []string{region.SettingsFile, region.FacilitiesFile, region.FleetFile} {
		without := maps.Clone(files)
		delete(without, name)
		r, report = region.FromFiles(without)
		assert.Nil(t, r)
		require.NotEmpty(t, report.Faults)
		assert.Equal(t, name, report.Faults[0].File)
		assert.Contains(t, report.Faults[0].Detail, "missing")
	}
}

// An id of the reports that stands for no hospital is told with its place, and
// stops nothing. Source: definition.
func TestReportedIDsWarn(t *testing.T) {
	settings, err := fs.ReadFile(testdata.Demo, region.SettingsFile)
	require.NoError(t, err)
	settings = bytes.Replace(settings, []byte("{"), []byte(`{"status_reports":{"ids":[{"reported":"1","facility":"ettuquar-chest"},
		{"reported":"2","facility":"gone"},{"reported":"3","facility":"ls-ossuvaune-quay"}]},`), 1)
	r, report := region.Load(folder(t, map[string][]byte{region.SettingsFile: settings}))
	require.NotNil(t, r, "%v", report.Faults)
	var pointers []string
	for _, w := range report.Warnings {
		if w.File == region.SettingsFile {
			pointers = append(pointers, w.Pointer)
			assert.Contains(t, w.Detail, "is no hospital of facilities.geojson")
		}
	}
	assert.Equal(t, []string{"/status_reports/ids/1/facility", "/status_reports/ids/2/facility"}, pointers)
}
