package facilities_test

import (
	"bytes"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
)

// allocated returns how many bytes f allocates.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

func TestDecodeRefusesHugeFilesInBoundedMemory(t *testing.T) {
	// reading the schema once is not what is measured
	_, _, _ = decode(nil)
	tests := []struct {
		name, detail string
		in           []byte
		opt          facilities.DecodeOptions
		maxBytes     uint64 // allocated in all, freed again or not
	}{
		{"100 MB of anything", "the document has 104,857,600 bytes; at most 33,554,432 are read", make([]byte, 100<<20), facilities.DecodeOptions{}, 1 << 16},
		{"a million empty features", "the file has more than 10000 features: split it", []byte(`{"features":[{}` + strings.Repeat(",{}", 999_999) + `]}`), facilities.DecodeOptions{}, 100 << 20},
		{"deep nesting", "nested more than 32 deep", bytes.Repeat([]byte("["), 1<<20), facilities.DecodeOptions{}, 1 << 16},
		{"many values in one place", "holds more than 100,000 values", []byte(`{"x":[0` + strings.Repeat(",0", 1_000_000) + `]}`), facilities.DecodeOptions{MaxFeatures: 10}, 20 << 20},
		{"one feature too many", "the file has more than 2 features: split it", collection(base("a", here), base("b", here), base("c", here)), facilities.DecodeOptions{MaxFeatures: 2}, 1 << 20},
		{"one byte too many", "at most 10 are read", []byte(`{"type": ""}`), facilities.DecodeOptions{MaxBytes: 10}, 1 << 16},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var list *facilities.List
			var errs []facilities.Fault
			used := allocated(func() { list, errs, _ = facilities.Decode(tt.in, tt.opt) })
			assert.Nil(t, list)
			require.Len(t, errs, 1)
			assert.Contains(t, errs[0].Detail, tt.detail)
			assert.Less(t, used, tt.maxBytes)
		})
	}
}

func TestDecodeReportsAtMost200(t *testing.T) {
	var features []string
	for i := range 900 {
		features = append(features, base("b"+strconv.Itoa(i), `[200,100]`))
	}
	_, errs, _ := decode(collection(features...))
	require.Len(t, errs, 201)
	assert.Equal(t, "/features/0/geometry/coordinates/0", errs[0].Pointer)
	assert.Equal(t, "/features/99/geometry/coordinates/1", errs[199].Pointer)
	assert.Equal(t, facilities.Fault{Detail: "1600 more are not shown: correct these first"}, errs[200])

	_, _, warnings := decode(collection(features[0:1]...))
	assert.Empty(t, warnings)
	features = nil
	for i := range 300 {
		features = append(features, feature("b"+strconv.Itoa(i), here, `"kind":"base","name":"same"`))
	}
	list, errs, warnings := decode(collection(features...))
	require.Empty(t, errs)
	require.NotNil(t, list)
	require.Len(t, warnings, 201)
	assert.Equal(t, "99 more are not shown: correct these first", warnings[200].Detail)
}
