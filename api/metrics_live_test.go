package api_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"surgeonward/api/region"
)

// TestMetricsKnowALiveRegion: a region that can be edited says how old it is and
// what is wrong with newer data. Source: the interfaces that gauges looks for.
func TestMetricsKnowALiveRegion(t *testing.T) {
	var source any = (*region.Live)(nil)
	_, aged := source.(interface{ Since() time.Time })
	assert.True(t, aged)
	_, faulty := source.(interface{ Faults() int })
	assert.True(t, faulty)
}
