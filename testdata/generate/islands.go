package main

import (
	"github.com/paulmach/orb"
)

// island is one piece of land in plane kilometres.
type island struct {
	id, name string
	coast    orb.Ring
	bound    orb.Bound
}

func newIsland(id, name string, coast orb.Ring) island {
	return island{id, name, coast, coast.Bound()}
}

// islands returns the three main islands, the islet that a bridge reaches, and
// the uninhabited islets, in that order.
func islands() []island {
	out := []island{
		newIsland("thauvemar", "Thauvemar", coast(thauvemar, 0.19, 11)),
		newIsland("irrolune", "Irrolune", coast(irrolune, 0.19, 40)),
		newIsland("quessavel", "Quessavel", coast(quessavel, 0.2, 70)),
	}
	for i, s := range islets {
		seed := uint64(200 + 10*i)
		out = append(out, newIsland(s.id, s.name, coast(blob(s.centre, s.radiusKm, seed), 0.17, seed)))
	}
	return out
}

// islandAt returns the index of the island that has p, or -1 at sea.
func islandAt(p orb.Point, all []island) int {
	for i, l := range all {
		if l.bound.Contains(p) && within(l.coast, p) {
			return i
		}
	}
	return -1
}

// Skeletons run clockwise from the north.
var thauvemar = []orb.Point{
	{0, 52}, {5, 48}, {7.6, 39}, {6.5, 31}, {8.8, 25}, {10.8, 22}, {8.9, 19}, {7.4, 15}, {6.2, 9}, {8.6, 5}, {8.4, 1}, {5, -4}, {7.5, -11},
	{3, -19}, {4.5, -27}, {-3, -34}, {-9, -30}, {-13, -38}, {-24, -43}, {-33, -40}, {-36, -33}, {-43, -37},
	{-52, -33}, {-58, -24}, {-54, -17}, {-63, -12}, {-68, -3}, {-66, 6}, {-58, 10.5}, {-65, 18}, {-60, 27},
	{-52, 31}, {-46, 26}, {-41, 36}, {-33, 45}, {-25, 43}, {-20, 36}, {-13, 42}, {-7, 50},
}

var irrolune = []orb.Point{
	{28, 53}, {37, 48}, {44, 42}, {51, 47}, {61, 43}, {66, 34}, {59.5, 27}, {69, 23}, {71, 15}, {63, 8}, {54.5, 4},
	{58, -4}, {50, -10}, {41, -13}, {34, -8}, {27, -14}, {19, -12}, {14.5, -6}, {14.4, 0}, {13.6, 6}, {14.8, 14},
	{14, 22}, {14, 30}, {16, 38}, {15.5, 46}, {20, 51},
}

var quessavel = []orb.Point{
	{24, -31}, {33, -27}, {37, -30}, {44, -27}, {53, -29}, {61, -34}, {58, -41}, {50, -45}, {47, -53}, {38, -56},
	{31, -49}, {22, -48}, {16, -39},
}

// islets are small islands: the first is reached by a bridge.
var islets = []struct {
	id, name string
	centre   orb.Point
	radiusKm float64
}{
	{"muorque", "Muorque", orb.Point{-27, -47.6}, 2.4},
	{"ithquel", "Ithquel", orb.Point{-71.5, 12}, 1.4},
	{"velk", "Velkusine", orb.Point{-46, 43}, 1.1},
	{"orrimo", "Orrimoq", orb.Point{2, 57.5}, 1.0},
	{"sauliq", "Sauliq", orb.Point{13, -24}, 1.5},
	{"teskuvo", "Teskuvo", orb.Point{17.5, -27.5}, 0.8},
	{"ummoliq", "Ummoliq", orb.Point{72, 30}, 1.2},
	{"essove", "Essoveq", orb.Point{66, -22}, 1.6},
	{"nauviq", "Nauviq", orb.Point{-60, -37}, 1.0},
	{"lirquo", "Lirquo", orb.Point{45, 54.5}, 0.9},
}

// ridge is the crest of the mountains of Thauvemar, north-west to south-east.
var ridge = []orb.Point{
	{-45.2, 16.4}, {-43, 14.6}, {-41.8, 11.3}, {-39, 9.9}, {-37, 8.5}, {-35.6, 5.6}, {-33, 3.6}, {-30, 1}, {-28.1, -0.7},
	{-27, -3.4}, {-24.2, -4.9}, {-23, -7.6}, {-21.9, -11}, {-19.2, -12.6}, {-17.8, -15.7}, {-15.4, -17.2},
}

// mountains is the high ground about the ridge.
var mountains = coast(foothills, 0.12, 90)

var foothills = []orb.Point{
	{-49, 21}, {-43, 22.5}, {-36, 17.5}, {-29, 12}, {-24, 5}, {-17, -1}, {-12, -9}, {-9.5, -18}, {-14, -23},
	{-21, -20.5}, {-28, -13.5}, {-34, -7}, {-41, -1}, {-47, 7}, {-51, 14},
}

const (
	mountainID   = "orquathem"
	mountainName = "Orquathem"
)
