package api

import (
	"sync/atomic"

	"surgeonward/api/region"
)

// Source gives the region that holds now, or nil while there is none. A
// request asks once and keeps what it got, so a region can be swapped live.
type Source interface {
	Region() *region.Region
}

// Holder is a Source that a region is put into. Its zero value has none.
type Holder struct {
	held atomic.Pointer[region.Region]
}

// Region returns the region held, nil while there is none.
func (h *Holder) Region() *region.Region { return h.held.Load() }

// Hold replaces the region for all requests that begin after it.
func (h *Holder) Hold(r *region.Region) { h.held.Store(r) }
