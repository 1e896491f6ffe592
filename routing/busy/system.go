package busy

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// System is a fleet and the calls that it answers.
type System struct {
	PerHour []float64 // by atom, a place that calls come from: calls per hour
	// Orders are, by atom, the units in the order in which they are sent, each at most
	// once. A unit that is not in the order is never sent there. With a line every order
	// has every unit.
	Orders [][]int
	// ServiceS are, by unit, the mean seconds from being sent until free again: one
	// number, or one for each atom. What an atom's order leaves out is not looked at.
	ServiceS [][]float64
	// Line makes calls that find nobody free wait, first come, first served. Without it
	// they are lost: somebody else goes.
	Line bool
}

// The limits on a system.
const (
	MaxUnits    = 500
	MaxAtoms    = 5_000_000
	MaxPairs    = 20_000_000  // units in all orders, and service times
	MaxPerHour  = 1_000_000.0 // calls of one atom
	MaxServiceS = 366 * 86400.0
	MaxLoad     = 1000.0 // erlangs for each unit
)

// ErrOverloaded says that more calls come than the units can answer, so that a line would
// grow without end.
var ErrOverloaded = errors.New("the line grows without end: give fewer calls, shorter service or more units")

// Prefer is the order of units by time, the quickest first and of several as quick the
// lowest, for each atom. Times are by unit, then atom; +Inf and what is no number leave
// the unit out.
func Prefer(timesS [][]float64) [][]int {
	if len(timesS) == 0 {
		return nil
	}
	orders := make([][]int, len(timesS[0]))
	for j := range orders {
		order := []int{}
		for u, times := range timesS {
			if j < len(times) && times[j] <= math.MaxFloat64 {
				order = append(order, u)
			}
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(timesS[a][j], timesS[b][j]) })
		orders[j] = order
	}
	return orders
}

// Check says everything that is wrong with the system, with one fault of each sort.
func (s *System) Check() error {
	units, atoms := len(s.ServiceS), len(s.PerHour)
	if units < 1 || units > MaxUnits || atoms < 1 || atoms > MaxAtoms {
		return fmt.Errorf("%d units and %d atoms are not 1 to %d and 1 to %d", units, atoms, MaxUnits, MaxAtoms)
	}
	faults := []error{s.checkRates(), s.checkOrders(), s.checkService()}
	if err := errors.Join(faults...); err != nil {
		return err
	}
	if least := s.leastLoad(); least > MaxLoad*float64(units) {
		return fmt.Errorf("the calls need %g units at least, more than %g times as many as there are: check the unit of calls per hour", least, MaxLoad)
	}
	return nil
}

func (s *System) checkRates() error {
	for j, rate := range s.PerHour {
		if !(rate >= 0 && rate <= MaxPerHour) {
			return fmt.Errorf("atom %d has %g calls per hour, not 0 to %g", j, rate, MaxPerHour)
		}
	}
	return nil
}

func (s *System) checkOrders() error {
	units := len(s.ServiceS)
	if len(s.Orders) != len(s.PerHour) {
		return fmt.Errorf("there are %d orders for %d atoms: give one for each", len(s.Orders), len(s.PerHour))
	}
	pairs := 0
	met := make([]int, units) // the last atom, from 1, whose order has the unit
	for j, order := range s.Orders {
		if pairs += len(order); pairs > MaxPairs {
			return fmt.Errorf("the orders have more than %d units in all: join atoms with the same order", MaxPairs)
		}
		for _, u := range order {
			switch {
			case u < 0 || u >= units:
				return fmt.Errorf("the order of atom %d names unit %d, and there are units 0 to %d", j, u, units-1)
			case met[u] == j+1:
				return fmt.Errorf("the order of atom %d names unit %d twice", j, u)
			}
			met[u] = j + 1
		}
		if s.Line && len(order) != units {
			return fmt.Errorf("the order of atom %d has %d of %d units: with a line any unit must be able to take the next call, "+
				"so name all of them or do without a line", j, len(order), units)
		}
	}
	return nil
}

func (s *System) checkService() error {
	var faults []error
	pairs := 0
	for u, times := range s.ServiceS {
		if len(times) != 1 && len(times) != len(s.PerHour) {
			return fmt.Errorf("unit %d has %d service times, not 1 or one for each of %d atoms", u, len(times), len(s.PerHour))
		}
		if pairs += len(times); pairs > MaxPairs {
			return fmt.Errorf("there are more than %d service times: give one for each unit, or join atoms", MaxPairs)
		}
		if len(times) == 1 && !served(times[0]) {
			faults = append(faults, fmt.Errorf("the service time of unit %d is %g s, not over 0 to %g", u, times[0], MaxServiceS))
		}
	}
	if len(s.Orders) != len(s.PerHour) || len(faults) > 0 {
		return errors.Join(faults...)
	}
	for j, order := range s.Orders {
		for _, u := range order {
			if u >= 0 && u < len(s.ServiceS) && !served(s.serviceS(u, j)) {
				return fmt.Errorf("the service time of unit %d at atom %d is %g s, not over 0 to %g", u, j, s.serviceS(u, j), MaxServiceS)
			}
		}
	}
	return nil
}

func served(seconds float64) bool { return seconds > 0 && seconds <= MaxServiceS }

func (s *System) serviceS(unit, atom int) float64 {
	if times := s.ServiceS[unit]; len(times) > 1 {
		return times[atom]
	}
	return s.ServiceS[unit][0]
}

// leastLoad is the load in erlangs, were every call taken by the unit that is quickest
// free again.
func (s *System) leastLoad() float64 {
	var load float64
	for j, order := range s.Orders {
		least := math.Inf(1)
		for _, u := range order {
			least = min(least, s.serviceS(u, j))
		}
		if len(order) > 0 {
			load += s.PerHour[j] / hourS * least
		}
	}
	return load
}

const hourS = 3600.0
