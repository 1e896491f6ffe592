package routing

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Fleet is the region's assets: an immutable snapshot with a content hash.
type Fleet struct {
	assets []Asset // by id
	hash   string
}

// NewFleet makes a fleet of assets in any order. An asset without a state is
// at its base, one without a zone keeps UTC. It returns an error that names
// each id which is missing or used twice; what else an asset says is not
// checked: DecodeFleet does that.
func NewFleet(assets []Asset) (*Fleet, error) {
	f := &Fleet{assets: slices.Clone(assets)}
	slices.SortStableFunc(f.assets, func(a, b Asset) int { return strings.Compare(a.ID, b.ID) })
	var errs []error
	for i := range f.assets {
		a := &f.assets[i]
		switch {
		case a.ID == "":
			errs = append(errs, errors.New("an asset has no id"))
		case i > 0 && a.ID == f.assets[i-1].ID:
			errs = append(errs, fmt.Errorf("asset id %q is used twice", a.ID))
		}
		if a.State == "" {
			a.State = AtBase
		}
		if a.Zone == nil {
			a.Zone = time.UTC
		}
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	f.hash = fleetHash(f.assets)
	return f, nil
}

// fleetHash covers every field of every asset. The zone is written by name.
func fleetHash(assets []Asset) string {
	type content struct {
		Asset
		Zone string // in place of Asset.Zone, which has no JSON form
	}
	contents := make([]content, len(assets))
	for i, a := range assets {
		contents[i] = content{Asset: a, Zone: a.Zone.String()}
	}
	return contentHash(contents)
}

// Assets returns the fleet's assets in order of id.
func (f *Fleet) Assets() []Asset { return f.assets }

// Hash identifies the content of the fleet. It does not depend on the order or
// the layout of the fleet file.
func (f *Fleet) Hash() string { return f.hash }
