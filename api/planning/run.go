package planning

import (
	"context"

	"surgeonward/routing/coverage"
)

// Run runs plans that do not depend on each other and hands over the result of each, in
// their order. The plans' own Progress is called where they are run one after the other by
// this process. What a question is known to need from the start is best asked for in
// one call, the first: that is what several workers share.
type Run func(ctx context.Context, plans []coverage.Plan, each func(i int, r *coverage.Result) error) error

// Here runs plans in this process, one after the other.
func Here(ctx context.Context, plans []coverage.Plan, each func(i int, r *coverage.Result) error) error {
	for i := range plans {
		r, err := coverage.Run(ctx, plans[i])
		if err != nil {
			return err
		}
		if err := each(i, r); err != nil {
			return err
		}
	}
	return nil
}

// one runs a single plan.
func (run Run) one(ctx context.Context, plan coverage.Plan) (out *coverage.Result, err error) {
	err = run(ctx, []coverage.Plan{plan}, func(_ int, r *coverage.Result) error {
		out = r
		return nil
	})
	return out, err
}
