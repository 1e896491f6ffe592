package api

import (
	"sync/atomic"
	"time"

	"surgeonward/api/region"
)

// Source gives the region that holds now, or nil while there is none. A
// request asks once and keeps what it got, so a region can be swapped live.
type Source interface {
	Region() *region.Region
}

// Holder is a Source that a region is put into. Its zero value has none.
type Holder struct {
	held atomic.Pointer[heldRegion]
}

type heldRegion struct {
	region *region.Region
	since  time.Time
}

// Region returns the region held, nil while there is none.
func (h *Holder) Region() *region.Region {
	if held := h.held.Load(); held != nil {
		return held.region
	}
	return nil
}

// Since says when the region was put in; the zero time while there is none.
func (h *Holder) Since() time.Time {
	if held := h.held.Load(); held != nil {
		return held.since
	}
	return time.Time{}
}

// Hold replaces the region for all requests that begin after it.
func (h *Holder) Hold(r *region.Region) { h.held.Store(&heldRegion{r, time.Now()}) }
