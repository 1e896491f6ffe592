package api_test

import (
	"context"
	"fmt"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
	"surgeonward/facilities/store"
)

// keepsNothing is a store that keeps no edit.
type keepsNothing struct {
	store.Store
	err error
}

func (f *keepsNothing) Commit(context.Context, store.Edit) (*store.Version, error) { return nil, f.err }

// TestStoreAway: whoever edits while the region cannot be written is told to come
// again, and whether anything may have been changed. Source: RFC 9110, section
// 15.6.4, and the definition of the store's errors.
func TestStoreAway(t *testing.T) {
	for _, tt := range []struct {
		name string
		err  error
		says string
	}{
		{"away", store.ErrUnavailable, "nothing was changed"},
		{"away until the time was over", fmt.Errorf("%w: %w", store.ErrUnavailable, context.DeadlineExceeded), "nothing was changed"},
		{"gone before it answered", fmt.Errorf("%w: %w", store.ErrUnavailable, store.ErrUnsure), "may have been made"},
		{"others until the time was over", fmt.Errorf("%w: %w", region.ErrBusy, context.DeadlineExceeded), "nothing was changed"},
		{"closed", store.ErrClosed, "nothing was changed"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := editable(t)
			live, err := region.NewLive(t.Context(), region.LiveConfig{Store: &keepsNothing{d.store, tt.err}, Now: d.now})
			require.NoError(t, err)
			d.live = live
			d.Handler = handler(t, d.config)
			w := d.send("POST", "/v1/facilities/ettuquar-chest/accepting", "application/json", `{"state":"closed"}`)
			require.Equal(t, http.StatusServiceUnavailable, w.Code, "%s", w.Body)
			checkProblem(t, w, "store-unavailable")
			d.strict.check(t, "POST", "/v1/facilities/{id}/accepting", w)
			assert.NotEmpty(t, w.Header().Get("Retry-After"))
			assert.Contains(t, w.Body.String(), tt.says)
			assert.Equal(t, http.StatusOK, post(d, someWhere).Code, "answers go on")
		})
	}
}

// TestClockSteps: a divert until 23:00 ends once when the clock has been there,
// however it gets there, and what has ended does not come back with the clock.
// Source: definition of until.
func TestClockSteps(t *testing.T) {
	d := editable(t)
	const path = "/v1/facilities/ettuquar-chest"
	until := time.Date(2031, 3, 14, 23, 0, 0, 0, time.UTC)
	_, err := d.live.Expire(t.Context()) // what ended before
	require.NoError(t, err)
	divert := func(until time.Time) int {
		return d.send("POST", path+"/accepting", "application/json", `{"state":"divert","until":"`+until.Format(time.RFC3339)+`"}`).Code
	}
	offered := func() bool { // asked at the clock's time
		_, diverted := object(t, get(d, path).Body.Bytes())["properties"].(map[string]any)["accepting"]
		return !diverted
	}
	require.Equal(t, http.StatusOK, divert(until))
	for _, step := range []struct {
		to    time.Time
		ended int
		open  bool
	}{
		{until.Add(-time.Second), 0, false},
		{until.AddDate(-10, 0, 0), 0, false},
		{until.Add(-time.Nanosecond), 0, false},
		{until, 1, true},
		{until.Add(-time.Hour), 0, true},
		{until.AddDate(10, 0, 0), 0, true},
		{until.Add(-time.Hour), 0, true},
	} {
		d.set(step.to)
		ended, err := d.live.Expire(t.Context())
		require.NoError(t, err)
		assert.Equal(t, step.ended, ended, "at %v", step.to)
		assert.Equal(t, step.open, offered(), "at %v", step.to)
	}
	require.Equal(t, http.StatusOK, divert(until), "by this clock it is still to come")
	d.set(until.Add(time.Hour))
	assert.Equal(t, http.StatusUnprocessableEntity, divert(until), "it has passed")
	ended, err := d.live.Expire(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 1, ended)
	assert.True(t, offered())

	numbers := []float64{}
	for _, e := range object(t, get(d, "/v1/history").Body.Bytes())["entries"].([]any) {
		numbers = append(numbers, e.(map[string]any)["number"].(float64))
	}
	assert.IsDecreasing(t, numbers, "history goes by numbers, not by the clock")
	assert.InDelta(t, float64(d.live.State().Version.Number), numbers[0], 0)
}
