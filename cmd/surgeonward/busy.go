package main

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"surgeonward/api/region"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// busyFlags say how many calls the assets answer.
type busyFlags struct {
	CallsPerDay *float64 `name:"calls-per-day" help:"Calls per day over the whole area: also what to expect while assets are out on them." placeholder:"N" group:"The calls:"`
	ServiceMin  float64  `name:"service-min" help:"Minutes from a call until its asset is free again (default: the engine's own mission and the way back to the base)." placeholder:"MINUTES" group:"The calls:"`
	BusyAsset   []string `name:"busy-asset" help:"An asset that can be busy, all others being always free; repeat it for more (default: all)." sep:"none" placeholder:"ASSET" group:"The calls:"`
	Depth       int      `help:"How many assets are looked at for each cell, one after the other." default:"4" placeholder:"N" group:"The calls:"`
}

// calls are what the flags ask for; nil: nothing.
func (f *busyFlags) calls(r *region.Region) (*coverage.Calls, error) {
	if f.CallsPerDay == nil {
		if f.ServiceMin != 0 || len(f.BusyAsset) > 0 {
			return nil, usageError{errors.New("--service-min and --busy-asset say how calls are answered: give --calls-per-day too")}
		}
		return nil, nil
	}
	for _, id := range f.BusyAsset {
		if !slices.ContainsFunc(r.Fleet.Assets(), func(a routing.Asset) bool { return a.ID == id }) {
			return nil, usageError{fmt.Errorf("--busy-asset: no asset %.40q in the fleet", id)}
		}
	}
	c := &coverage.Calls{PerDay: *f.CallsPerDay, ServiceS: f.ServiceMin * 60, Assets: f.BusyAsset, Depth: f.Depth}
	if err := c.Check(); err != nil {
		return nil, usageError{fmt.Errorf("--calls-per-day, --service-min, --depth: %w", err)}
	}
	return c, nil
}

// busy is what to expect of a situation while assets are out on calls; nil where it is not
// asked for. First is the plan's own result.
func (f *busyFlags) busy(ctx context.Context, r *region.Region, p coverage.Plan, first *coverage.Result) (*coverage.Busy, error) {
	calls, err := f.calls(r)
	if calls == nil || err != nil {
		return nil, err
	}
	return coverage.RunBusy(ctx, p, first, *calls)
}
