package busy

import (
	"fmt"
	"math"
)

// MaxServers bounds the servers of ErlangB and ErlangC.
const MaxServers = 1_000_000

// ErlangB is the share of calls that find all servers busy, when those are lost. The load
// is calls per mean service time, in erlangs: finite, from 0. Erlang 1917; the recursion
// over servers adds only positive numbers, so that its relative error stays within some
// servers times 2^-52.
func ErlangB(servers int, load float64) (float64, error) {
	if err := checkLoad(servers, load); err != nil {
		return 0, err
	}
	return erlangB(servers, load), nil
}

// ErlangC is the share of calls that find all servers busy, when those wait. The load
// must be less than the servers, or the line grows without end: ErrOverloaded.
func ErlangC(servers int, load float64) (float64, error) {
	if err := checkLoad(servers, load); err != nil {
		return 0, err
	}
	if load >= float64(servers) {
		return 0, fmt.Errorf("%w: %g erlangs come to %d servers", ErrOverloaded, load, servers)
	}
	return erlangC(servers, load), nil
}

func checkLoad(servers int, load float64) error {
	if servers < 1 || servers > MaxServers {
		return fmt.Errorf("there are %d servers, not 1 to %d", servers, MaxServers)
	}
	if !(load >= 0) || math.IsInf(load, 1) {
		return fmt.Errorf("the load is %g erlangs, not a finite number from 0", load)
	}
	return nil
}

func erlangB(servers int, load float64) float64 {
	b := 1.0
	for k := 1; k <= servers; k++ {
		b = load * b / (float64(k) + load*b)
	}
	return b
}

func erlangC(servers int, load float64) float64 {
	b, share := erlangB(servers, load), load/float64(servers)
	return b / (1 - share*(1-b))
}
