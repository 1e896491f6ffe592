package main

import "math"

// chance is a stream of numbers that look random and never change: SplitMix64
// (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number
// generators", OOPSLA). Written out here because the committed files must not
// change when a library changes its streams.
type chance struct{ state uint64 }

func (c *chance) next() uint64 {
	c.state += 0x9e3779b97f4a7c15
	z := c.state
	z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9
	z = (z ^ (z >> 27)) * 0x94d049bb133111eb
	return z ^ (z >> 31)
}

// unit is uniform in [0, 1).
func (c *chance) unit() float64 { return float64(c.next()>>11) / (1 << 53) }

// bell is near a standard normal and never beyond 3.5: a sum of four uniforms.
func (c *chance) bell() float64 {
	sum := c.unit() + c.unit() + c.unit() + c.unit()
	return (sum - 2) * math.Sqrt(3)
}

// noise is a smooth field in [0, 1) over the plane, with bumps of the given
// size in kilometres.
func noise(x, y, size float64, seed uint64) float64 {
	gx, gy := math.Floor(x/size), math.Floor(y/size)
	fx, fy := ease(x/size-gx), ease(y/size-gy)
	at := func(i, j float64) float64 {
		c := chance{seed ^ uint64(int64(gx+i))*0x9e3779b97f4a7c15 ^ uint64(int64(gy+j))*0xc2b2ae3d27d4eb4f}
		return c.unit()
	}
	south := at(0, 0) + fx*(at(1, 0)-at(0, 0))
	north := at(0, 1) + fx*(at(1, 1)-at(0, 1))
	return south + fy*(north-south)
}

func ease(f float64) float64 { return f * f * (3 - 2*f) }
