package region_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
)

// BenchmarkAfterAnEdit makes the demo region anew after one facility has changed,
// with what a Loader takes over, and beside it from nothing.
func BenchmarkAfterAnEdit(b *testing.B) {
	files, err := region.DemoFiles()
	require.NoError(b, err)
	original := files[region.FacilitiesFile]
	var loader region.Loader
	for _, bench := range []struct {
		name string
		load func(map[string][]byte) (*region.Region, region.Report)
	}{{"loader", loader.Load}, {"baseline/from_nothing", region.FromFiles}} {
		b.Run(bench.name, func(b *testing.B) {
			b.ReportAllocs()
			sum, n := 0, 0
			for b.Loop() {
				n++
				files[region.FacilitiesFile] = bytes.Replace(original, []byte("Ossuvaune General Hospital"), fmt.Appendf(nil, "Hospital %d", n), 1)
				r, report := bench.load(files)
				require.Empty(b, report.Faults)
				sum += r.Facilities.Len()
			}
			b.ReportMetric(float64(sum)/float64(n), "facilities") // the answer, so that it cannot be left out
		})
	}
}
