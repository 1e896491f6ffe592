package routing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
)

// textbook is the activity network of the encyclopaedia article "Program
// evaluation and review technique" (public, from memory; every figure below
// also follows by hand from the durations).
//
//	a --> c --> e --> g
//	 \     b -/
//	  --> d --> f
func textbook() (*network, map[string]ref) {
	w, at := &network{}, map[string]ref{}
	add := func(id string, d float64, after ...string) {
		refs := make([]ref, len(after))
		for i, a := range after {
			refs[i] = at[a]
		}
		at[id] = w.add(node{id: id, lane: LanePatient, timing: facilities.Fixed(d)}, refs...)
	}
	add("a", 4.00)
	add("b", 5.33)
	add("c", 5.17, "a")
	add("d", 6.33, "a")
	add("e", 5.17, "b", "c")
	add("f", 4.50, "d")
	add("g", 5.17, "e")
	return w, at
}

func TestCriticalPathTextbook(t *testing.T) {
	w, _ := textbook()
	got := map[string]Scheduled{}
	for _, s := range w.plan() {
		got[s.ID] = s
	}
	const tol = 1e-9 // in the table's unit
	for _, row := range []struct {
		name              string
		start, end, slack float64
		critical          bool
	}{
		{"a", 0, 4.00, 0, true},
		{"b", 0, 5.33, 3.84, false},
		{"c", 4.00, 9.17, 0, true},
		{"d", 4.00, 10.33, 4.68, false},
		{"e", 9.17, 14.34, 0, true},
		{"f", 10.33, 14.83, 4.68, false},
		{"g", 14.34, 19.51, 0, true},
	} {
		s := got[row.name]
		assert.InDelta(t, row.start, s.StartS, tol, row.name)
		assert.InDelta(t, row.end, s.EndS, tol, row.name)
		assert.InDelta(t, row.slack, s.SlackS, tol, row.name)
		assert.Equal(t, row.critical, s.Critical, row.name)
	}
	assert.InDelta(t, 19.51, w.total().TypicalS, tol)
}

func TestWaitsFillTheGaps(t *testing.T) {
	w, _ := textbook()
	var waits []Scheduled
	for _, s := range w.plan() {
		if s.Kind == KindWait {
			waits = append(waits, s)
		}
	}
	require.Len(t, waits, 1, "only b ends before its successor begins")
	assert.Equal(t, "wait_after_b", waits[0].ID)
	assert.InDelta(t, 5.33, waits[0].StartS, 1e-9)
	assert.InDelta(t, 9.17, waits[0].EndS, 1e-9)
}

// The published PERT chain in reference travel.md section 10 (schematex.js.org,
// read in a secondary source): expected times 3.17, 8.5, 4.17, 2 sum to 17.83.
func TestChainSums(t *testing.T) {
	var w network
	last := none
	for _, d := range []float64{19.0 / 6, 8.5, 25.0 / 6, 2} {
		last = w.add(node{timing: facilities.Fixed(d)}, last)
	}
	assert.InDelta(t, 17.83, w.total().TypicalS, 0.005)
}

func randomNetwork(t *rapid.T) *network {
	w := &network{}
	n := rapid.IntRange(1, 25).Draw(t, "activities")
	for i := range n {
		var after []ref
		for range min(i, rapid.IntRange(0, 4).Draw(t, "predecessors")) {
			after = append(after, ref(rapid.IntRange(0, i-1).Draw(t, "predecessor")))
		}
		typical := rapid.Float64Range(0, 7200).Draw(t, "typical_s")
		w.add(node{id: string(rune('a' + i)), timing: facilities.Timing{
			TypicalS: typical, SlowS: typical + rapid.Float64Range(0, 3600).Draw(t, "extra_s"),
		}}, after...)
	}
	return w
}

// longest is the slow, obvious form of the total: the longest of all chains.
func longest(w *network, i int) float64 {
	best := 0.0
	for _, a := range w.nodes[i].after[:w.nodes[i].nAfter] {
		best = max(best, longest(w, int(a)))
	}
	return best + w.nodes[i].timing.TypicalS
}

func TestTotalIsTheLongestChain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := randomNetwork(t)
		want := 0.0
		for i := range min(w.n, 12) { // exponential, so only the first few
			want = max(want, longest(w, i))
		}
		if w.n <= 12 {
			assert.InDelta(t, want, w.total().TypicalS, 1e-6)
		}
	})
}

// Delaying an activity by no more than its slack leaves the total where it is;
// delaying it by more moves the total by exactly the excess.
func TestSlackIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := randomNetwork(t)
		before := w.total().TypicalS
		plan := w.plan()
		i := rapid.IntRange(0, w.n-1).Draw(t, "delayed")
		var slack float64
		for _, s := range plan {
			if s.ID == w.nodes[i].id {
				slack = s.SlackS
			}
		}
		fraction := rapid.Float64Range(0, 1).Draw(t, "fraction of the slack")
		keep := w.nodes[i].timing.TypicalS
		w.nodes[i].timing.TypicalS = keep + slack*fraction
		assert.InDelta(t, before, w.finish(typical), 1e-6)
		w.nodes[i].timing.TypicalS = keep + slack + 60
		assert.InDelta(t, before+60, w.finish(typical), 2e-3)
	})
}

func TestPlanIsConsistent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := randomNetwork(t)
		ends := map[string]float64{}
		plan := w.plan()
		for _, s := range plan {
			ends[s.ID] = s.EndS
		}
		critical := false
		for _, s := range plan {
			for _, a := range s.After {
				assert.LessOrEqual(t, ends[a], s.StartS+1e-9, "%s starts before %s ends", s.ID, a)
			}
			assert.LessOrEqual(t, s.StartS, s.EndS)
			critical = critical || s.Critical
		}
		assert.True(t, critical, "some chain fills the whole time")
	})
}
