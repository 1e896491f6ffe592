package flight_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/geo"
	"surgeonward/routing/flight"
)

func table(t require.TestingT, id string) flight.Table {
	tab, ok := flight.Find(flight.Tables(), id)
	require.True(t, ok, id)
	return tab
}

func feet(ceiling, visibilityM float64) flight.Sky {
	return flight.Sky{CeilingM: ceiling * geo.Foot, VisibilityM: visibilityM}
}

// SPA.HEMS.120, performance class 1 and 2: UK Air Operations Regulations,
// Annex V, p. 490 (read; see reference flight-sun-position.md section 2.1).
// Every row is tested at its edge and just outside.
func TestSPAHEMS120(t *testing.T) {
	for _, row := range []struct {
		name                   string
		night                  bool
		pilots                 int
		ceilingFt, visibilityM float64
		want                   bool
	}{
		{"day, two pilots, 400 ft and 1000 m", false, 2, 400, 1000, true},
		{"day, two pilots, 400 ft, 1 m short", false, 2, 400, 999, false},
		{"day, two pilots, 499 ft and 1000 m", false, 2, 499, 1000, true},
		{"day, two pilots, 399 ft needs 2000 m", false, 2, 399, 1999, false},
		{"day, two pilots, 300 ft and 2000 m", false, 2, 300, 2000, true},
		{"day, two pilots, under 300 ft", false, 2, 299, 9999, false},
		{"day, one pilot, 400 ft and 2000 m", false, 1, 400, 2000, true},
		{"day, one pilot, 499 ft, 1 m short", false, 1, 499, 1999, false},
		{"day, one pilot, 399 ft needs 3000 m", false, 1, 399, 2999, false},
		{"day, one pilot, 300 ft and 3000 m", false, 1, 300, 3000, true},
		{"night, two pilots, 1200 ft and 2500 m", true, 2, 1200, 2500, true},
		{"night, two pilots, 1 m short", true, 2, 1200, 2499, false},
		{"night, two pilots, 1199 ft", true, 2, 1199, 9999, false},
		{"night, one pilot, 1200 ft and 3000 m", true, 1, 1200, 3000, true},
		{"night, one pilot, 1 m short", true, 1, 1200, 2999, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := table(t, "spa_hems_120").Judge(row.night, flight.Crew{Pilots: row.pilots}, feet(row.ceilingFt, row.visibilityM), 0.25)
			assert.Equal(t, row.want, got.Allowed)
		})
	}
}

// Performance class 3: 600 ft and 1500 m (second-hand summary and memory).
func TestClass3(t *testing.T) {
	tab := table(t, "spa_hems_120_class_3")
	assert.True(t, tab.Judge(false, flight.Crew{Pilots: 1}, feet(600, 1500), 0).Allowed)
	assert.False(t, tab.Judge(false, flight.Crew{Pilots: 1}, feet(599, 1500), 0).Allowed)
	assert.True(t, tab.Judge(true, flight.Crew{Pilots: 1}, feet(5000, 9999), 0).None, "no row for the night")
}

// 14 CFR 135.609 (values from memory; statute miles are 1609.344 m).
func TestUS135609(t *testing.T) {
	sm := geo.StatuteMile
	for _, row := range []struct {
		area             string
		dayFt, daySM     float64
		nightFt, nightSM float64
		aidedFt, aidedSM float64
	}{
		{"nonmountainous_local", 800, 2, 1000, 3, 800, 3},
		{"nonmountainous", 800, 3, 1000, 5, 1000, 3},
		{"mountainous_local", 800, 3, 1500, 3, 1000, 3},
		{"mountainous", 1000, 3, 1500, 5, 1000, 5},
	} {
		t.Run(row.area, func(t *testing.T) {
			tab := table(t, "us_135_609")
			plain, aided := flight.Crew{Pilots: 1, Area: row.area}, flight.Crew{Pilots: 1, Area: row.area, Aided: true}
			assert.True(t, tab.Judge(false, plain, feet(row.dayFt, row.daySM*sm), 0).Allowed)
			assert.False(t, tab.Judge(false, plain, feet(row.dayFt-1, row.daySM*sm), 0).Allowed)
			assert.False(t, tab.Judge(false, plain, feet(row.dayFt, row.daySM*sm-1), 0).Allowed)
			assert.True(t, tab.Judge(true, plain, feet(row.nightFt, row.nightSM*sm), 0).Allowed)
			assert.False(t, tab.Judge(true, plain, feet(row.nightFt-1, row.nightSM*sm), 0).Allowed)
			assert.False(t, tab.Judge(true, plain, feet(row.nightFt, row.nightSM*sm-1), 0).Allowed)
			assert.True(t, tab.Judge(true, aided, feet(row.aidedFt, row.aidedSM*sm), 0).Allowed)
			assert.False(t, tab.Judge(true, aided, feet(row.aidedFt-1, row.aidedSM*sm), 0).Allowed)
		})
	}
}

// What is not known is never good enough, and no ceiling at all is. Source:
// the rule is ours (a safety rule), the second a definition.
func TestUnknownSky(t *testing.T) {
	for _, tab := range flight.Tables() {
		crew := flight.Crew{Pilots: 2, Aided: true, Area: "nonmountainous_local"}
		nan := math.NaN()
		assert.False(t, tab.Judge(false, crew, flight.Sky{CeilingM: nan, VisibilityM: 10_000}, 0).Allowed, tab.ID)
		assert.False(t, tab.Judge(false, crew, flight.Sky{CeilingM: 3000, VisibilityM: nan}, 0).Allowed, tab.ID)
		assert.True(t, tab.Judge(false, crew, flight.Sky{CeilingM: math.Inf(1), VisibilityM: 10_000}, 0).Allowed, tab.ID)
	}
}

func TestNearTheMinimum(t *testing.T) {
	tab, crew := table(t, "spa_hems_120"), flight.Crew{Pilots: 1}
	near := tab.Judge(true, crew, feet(1300, 3200), 0.25)
	assert.True(t, near.Allowed && near.Near)
	well := tab.Judge(true, crew, feet(1600, 4000), 0.25)
	assert.True(t, well.Allowed && !well.Near)
	missed := tab.Judge(true, crew, feet(1000, 4000), 0.25)
	assert.False(t, missed.Allowed || missed.Near)
	assert.Equal(t, "night 1200 ft and 3000 m", missed.Row.String())
}

// A better sky never turns an allowed flight into a forbidden one.
func TestBetterSkyNeverForbids(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tab := rapid.SampledFrom(flight.Tables()).Draw(t, "table")
		crew := flight.Crew{Pilots: rapid.IntRange(1, 2).Draw(t, "pilots"), Aided: rapid.Bool().Draw(t, "aided"),
			Area: rapid.SampledFrom([]string{"", "mountainous", "nonmountainous_local"}).Draw(t, "area")}
		night := rapid.Bool().Draw(t, "night")
		sky := flight.Sky{CeilingM: rapid.Float64Range(0, 2000).Draw(t, "ceiling_m"), VisibilityM: rapid.Float64Range(0, 12_000).Draw(t, "visibility_m")}
		better := flight.Sky{CeilingM: sky.CeilingM + rapid.Float64Range(0, 500).Draw(t, "more_ceiling_m"),
			VisibilityM: sky.VisibilityM + rapid.Float64Range(0, 5000).Draw(t, "more_visibility_m")}
		if tab.Judge(night, crew, sky, 0).Allowed {
			assert.True(t, tab.Judge(night, crew, better, 0).Allowed)
		}
	})
}

func TestShippedTablesAreWhole(t *testing.T) {
	for _, tab := range flight.Tables() {
		assert.NotEmpty(t, tab.Label, tab.ID)
		assert.NotEmpty(t, tab.Regulation, tab.ID)
		assert.NotEmpty(t, tab.Edition, tab.ID)
		assert.NotEmpty(t, tab.Source, tab.ID)
		assert.Contains(t, []string{"read", "memory"}, tab.Mark, tab.ID)
		for _, row := range tab.Rows {
			assert.Contains(t, []string{"day", "night"}, row.When)
			assert.Positive(t, row.CeilingFt)
			assert.Positive(t, row.VisibilityM)
		}
	}
}
