package api

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// TestCallersAreBounded: however many callers come, the memory for them is
// bounded, and those who ask too much are still told so.
func TestCallersAreBounded(t *testing.T) {
	var b buckets
	r := Rate{PerSecond: 1, Burst: 2}
	at := time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)
	for i := range 3 * maxCallers {
		b.take(fmt.Sprint(i), r, at)
		assert.LessOrEqual(t, len(b.each), maxCallers)
	}
	assert.Zero(t, b.take("one", r, at))
	assert.Zero(t, b.take("one", r, at))
	assert.Equal(t, time.Second, b.take("one", r, at))
	assert.Equal(t, 500*time.Millisecond, b.take("one", r, at.Add(500*time.Millisecond)))
	assert.Zero(t, b.take("one", r, at.Add(time.Second)))
}
