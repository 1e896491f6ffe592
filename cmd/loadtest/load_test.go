package main

import (
	"bytes"
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRun: a short load on few clients loses nothing and says so.
func TestRun(t *testing.T) {
	ctx, cancel := context.WithTimeout(t.Context(), time.Second)
	defer cancel()
	var out bytes.Buffer
	require.NoError(t, run(ctx, load{readers: 2, listeners: 5, editsPerS: 10}, &out), out.String())
	assert.Contains(t, out.String(), "failures: 0")
}
