package busy

import "encoding/binary"

// group is all atoms with the same order.
type group struct {
	order []int
	rate  float64   // calls per hour
	work  []float64 // by place in the order: load in erlangs, were the unit to take all calls
}

// grouped is a system by groups, in the order of their first atoms.
type grouped struct {
	units  int
	groups []group
	of     []int // by atom: its group
	rate   float64
	usualH []float64 // by unit: mean hours of service over the calls it could take
}

func groupAtoms(s *System) *grouped {
	g := &grouped{units: len(s.ServiceS), of: make([]int, len(s.PerHour)), usualH: make([]float64, len(s.ServiceS))}
	known := map[string]int{}
	key := []byte{}
	for j, order := range s.Orders {
		key = key[:0]
		for _, u := range order {
			key = binary.LittleEndian.AppendUint16(key, uint16(u))
		}
		i, ok := known[string(key)]
		if !ok {
			i = len(g.groups)
			known[string(key)] = i
			g.groups = append(g.groups, group{order: order, work: make([]float64, len(order))})
		}
		g.of[j] = i
		g.groups[i].rate += s.PerHour[j]
		g.rate += s.PerHour[j]
		for k, u := range order {
			g.groups[i].work[k] += s.PerHour[j] * s.serviceS(u, j) / hourS
		}
	}
	g.usual(s)
	return g
}

// usual makes the hours of service that are reckoned with before it is known which calls
// a unit takes.
func (g *grouped) usual(s *System) {
	calls, work, first := make([]float64, g.units), make([]float64, g.units), make([]float64, g.units)
	for i := range g.groups {
		for k, u := range g.groups[i].order {
			calls[u] += g.groups[i].rate
			work[u] += g.groups[i].work[k]
		}
	}
	for j, order := range s.Orders {
		for _, u := range order {
			if first[u] == 0 {
				first[u] = s.serviceS(u, j) / hourS
			}
		}
	}
	for u := range g.usualH {
		switch {
		case len(s.ServiceS[u]) == 1:
			g.usualH[u] = s.ServiceS[u][0] / hourS
		case calls[u] > 0:
			g.usualH[u] = work[u] / calls[u]
		case first[u] > 0:
			g.usualH[u] = first[u] // no calls: any time does
		default:
			g.usualH[u] = 1 // in no order: never sent
		}
	}
}

// serviceH is the mean hours of service of each unit over the calls that it takes.
func (g *grouped) serviceH(shares [][]float64) []float64 {
	calls, work := make([]float64, g.units), make([]float64, g.units)
	for i := range g.groups {
		for k, u := range g.groups[i].order {
			calls[u] += shares[i][u] * g.groups[i].rate
			work[u] += shares[i][u] * g.groups[i].work[k]
		}
	}
	out := append([]float64{}, g.usualH...)
	for u := range out {
		if calls[u] > 0 {
			out[u] = work[u] / calls[u]
		}
	}
	return out
}
