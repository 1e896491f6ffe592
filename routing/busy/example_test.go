package busy_test

import (
	"context"
	"fmt"

	"surgeonward/routing/busy"
)

// Two helicopters, three islands: how often is each out, and how often is nobody there?
func ExampleSolve() {
	timesS := [][]float64{ // by helicopter, then island
		{600, 1500, 2400},
		{2100, 1200, 900},
	}
	r, err := busy.Solve(context.Background(), &busy.System{
		PerHour:  []float64{0.10, 0.05, 0.08},
		Orders:   busy.Prefer(timesS),
		ServiceS: [][]float64{{5400}, {7200}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("busy %.1f %% and %.1f %% of the time\n", 100*r.Busy[0], 100*r.Busy[1])
	// ErlangB(2, 0.4) is 5.4 % for 0.23 calls of 1.5 to 2 hours an hour.
	fmt.Printf("nobody free for %.1f %% of calls\n", 100*r.LostShare)
	// Output:
	// busy 15.9 % and 22.3 % of the time
	// nobody free for 5.4 % of calls
}
