package road

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// The grid finds what looking at every wall finds, for ways of every length
// and direction, along cell borders and from outside.
func TestGridAgainstEveryWall(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 6))
		scale := []float64{1, 1e3, 1e6}[seed%3]
		point := func(size float64) xy { return xy{size * (r.Float64() - 0.5), size * (r.Float64() - 0.5)} }
		var walls []wall
		for range 1 + r.IntN(400) {
			a := point(scale)
			b := a.plus(point(scale), 0.1*r.Float64())
			switch r.IntN(6) {
			case 0:
				b.x = a.x
			case 1:
				b.y = a.y
			}
			walls = append(walls, newWall(a, b, 0))
		}
		g := newGrid(walls)
		for k := range 1000 {
			p, q := point(1.5*scale), point(1.5*scale)
			switch k % 5 {
			case 0:
				q = p.plus(point(scale), 0.05)
			case 1:
				q.x = p.x
			case 2: // along a border between cells
				p.y = g.origin.y + g.cell*float64(r.IntN(g.ny))
				q.y = p.y
			case 3: // to a wall's end
				q = walls[r.IntN(len(walls))].b
			}
			want := false
			for i := range walls {
				want = want || walls[i].blocks(p, q, q.minus(p).length())
			}
			require.Equal(t, want, g.blocked(p, q), "seed %d: from %v to %v", seed, p, q)
			require.Equal(t, want, g.blocked(q, p), "seed %d: back from %v to %v", seed, q, p)
		}
	}
}
