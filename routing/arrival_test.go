package routing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The patient is what everything waits for, and nothing after the door varies:
// the arrival is the total less the handover, typical and slow. Two causes vary,
// so that slow is less than both slow at once. Source: identity.
func TestArrivalIsOfTheSameDrawsAsTheTotal(t *testing.T) {
	f := toy().hospital("h", place(0, 30_000)).asset("amb", "ambulance", `"state":"at_scene"`)
	f.allowances["package"] = [2]float64{600, 900}
	f.allowances["load_ambulance"] = [2]float64{100, 400}
	o := ask(t, f.engine(t)).Options[0]
	require.NotNil(t, o.AtDoor)
	assert.Nil(t, o.Lands, "not by air")
	assert.InDelta(t, 2390, o.AtDoor.TypicalS, tolS)
	assert.InDelta(t, o.Total.SlowS-170, o.AtDoor.SlowS, tolS)
	assert.Less(t, o.AtDoor.SlowS, 2390+300+300-60.0)
	assert.Greater(t, o.AtDoor.SlowS, 2390+300.0)
}

// The hospital varies and is late: the arrival, which does not hang on it, has
// no spread at all. Source: definition.
func TestArrivalIsNotOfTheHospitalsLane(t *testing.T) {
	f := toy().facility("h", "hospital", place(0, 60_000), centre+","+onCallSurgeon+","+litPad).
		asset("x", "helicopter", `"state":"at_scene","rotors_turning":true`)
	f.allowances["call_in"] = [2]float64{4000, 9000}
	o := ask(t, f.engine(t)).Options[0]
	require.NotNil(t, o.Lands)
	assert.Greater(t, o.Total.SlowS, 9000.0)
	assert.InDelta(t, o.AtDoor.TypicalS, o.AtDoor.SlowS, 0)
	assert.InDelta(t, o.Lands.TypicalS, o.Lands.SlowS, 0)
	assert.InDelta(t, 110+150, o.AtDoor.TypicalS-o.Lands.TypicalS, tolS, "unload, and pad to door")

	f.allowances["unload_helicopter_running"] = [2]float64{110, 500}
	o = ask(t, f.engine(t)).Options[0]
	assert.InDelta(t, o.Lands.TypicalS, o.Lands.SlowS, 0, "what comes after the landing")
	assert.InDelta(t, o.AtDoor.TypicalS+390, o.AtDoor.SlowS, tolS)
}

// In every shape: the patient lands, is at the door and is with the surgeon, in
// this order, typical and slow. Source: definition.
func TestArrivalsAreInOrder(t *testing.T) {
	ans := ask(t, richFixture().withSpread().engine(t))
	byAir := 0
	for _, o := range ans.Options {
		require.NotNil(t, o.AtDoor, o.ID)
		assert.InDelta(t, step(t, o, "handover").StartS, o.AtDoor.TypicalS, tolS, o.ID)
		assert.LessOrEqual(t, o.AtDoor.TypicalS, o.AtDoor.SlowS, o.ID)
		assert.LessOrEqual(t, o.AtDoor.TypicalS, o.Total.TypicalS, o.ID)
		assert.LessOrEqual(t, o.AtDoor.SlowS, o.Total.SlowS, o.ID)
		if o.Lands == nil {
			continue
		}
		byAir++
		assert.LessOrEqual(t, o.Lands.TypicalS, o.Lands.SlowS, o.ID)
		assert.Less(t, o.Lands.TypicalS, o.AtDoor.TypicalS, o.ID)
		assert.Less(t, o.Lands.SlowS, o.AtDoor.SlowS, o.ID)
	}
	assert.Positive(t, byAir)
}
