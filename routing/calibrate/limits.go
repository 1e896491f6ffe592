package calibrate

// What is enough to say something. All are assumptions.
const (
	// MinGroup is how many journeys a group needs for figures of its own; values
	// with fewer are put together.
	MinGroup = 20
	// MinSpread is how many road journeys the three figures of the spread need.
	MinSpread = 100
	// widest is how far apart the ends of an interval may be, as a ratio, for
	// the figure to be used.
	widest = 2.0
	// maxGroups is how many groups of a kind get figures of their own, the
	// largest first: the rest are put together.
	maxGroups = 50
)

// Options say how to calibrate. The zero value is for use; the rest is for tests.
type Options struct {
	Seed       uint64 // of the random draws; 0: 1
	Folds      int    // parts of which each is once held out; 0: 5
	Replicates int    // of the bootstrap, at most; 0: 400
}

// replicates is how many are drawn for n journeys: the more journeys, the
// narrower the interval, and the less it matters how sure its ends are.
func (o Options) replicates(n int) int {
	const journeys, fewest = 2_000_000, 100
	return min(o.Replicates, max(fewest, journeys/max(n, 1)))
}

func (o Options) orDefault() Options {
	if o.Seed == 0 {
		o.Seed = 1
	}
	if o.Folds < 2 {
		o.Folds = 5
	}
	if o.Replicates < 20 {
		o.Replicates = 400
	}
	return o
}
