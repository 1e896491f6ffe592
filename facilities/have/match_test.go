package have_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/facilities/have"
)

// Source of the meaning of the words: from memory of the standard; that unknown is
// not open, and that a stale open is not either, are rules of this program.
func TestMatchStates(t *testing.T) {
	const stale = "2031-03-14T20:39:00Z" // 61 minutes before now
	for _, c := range []struct {
		name    string
		at      string
		more    string
		state   facilities.AcceptState // "": undecided
		says    string
		isStale bool
	}{
		{"normal", fresh, traffic("Normal", ""), facilities.Open, "", false},
		{"normal at the last minute", "2031-03-14T20:40:00Z", traffic("Normal", ""), facilities.Open, "", false},
		{"advisory", fresh, traffic("Advisory", "CT down"), facilities.Open, "emergency traffic advisory: CT down", false},
		{"closed traffic", fresh, traffic("Closed", "no beds"), facilities.Divert, "emergency traffic is closed: no beds", false},
		{"closed traffic without reason", fresh, traffic("Closed", ""), facilities.Divert, "emergency traffic is closed", false},
		{"evacuating", fresh, traffic("Normal", "") + building("Evacuating", "Normal"), facilities.Closed, "the facility is being evacuated", false},
		{"closed building", fresh, building("Closed", ""), facilities.Closed, "the facility is closed", false},
		{"clinically closed", fresh, traffic("Normal", "") + building("Normal", "Closed"), facilities.Closed, "its clinical services are closed", false},
		{"full and compromised but open", fresh, traffic("Normal", "") + building("Compromised", "Full"), facilities.Open, "the facility is compromised; clinically full", false},
		{"surge", fresh, traffic("Normal", "") + building("Normal", "Level-2"), facilities.Open, "clinical surge level-2", false},
		{"building fine, traffic not said", fresh, building("Normal", "Normal"), "", "unknown is not open", false},
		{"nothing said", fresh, "", "", "unknown is not open", false},
		{"no emergency department", fresh, traffic("NotApplicable", ""), "", "no emergency department", false},
		{"stale open", stale, traffic("Normal", ""), "", "it was open 61 min ago", true},
		{"stale advisory", "2031-03-14T11:40:00Z", traffic("Advisory", ""), "", "it was open 10 h 0 min ago", true},
		{"stale divert", stale, traffic("Closed", ""), facilities.Divert, "emergency traffic is closed", true},
		{"stale evacuation", "2030-01-01T00:00:00Z", building("Evacuating", ""), facilities.Closed, "being evacuated", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			report := read(t, v1(hospital1("tavrin-hospital", c.at, c.more)))
			got := report.Match(region(t), have.MatchOptions{Now: now})
			at, err := time.Parse(time.RFC3339, c.at)
			require.NoError(t, err)
			if c.state == "" {
				assert.Empty(t, got.Proposals, "no state is invented")
				require.Len(t, got.Undecided, 1)
				u := got.Undecided[0]
				assert.Equal(t, "tavrin-hospital", u.Facility)
				assert.Contains(t, u.Why, c.says)
				assert.Equal(t, at, u.AsOf)
				assert.Equal(t, c.isStale, u.Stale)
				return
			}
			assert.Empty(t, got.Undecided)
			require.Len(t, got.Proposals, 1)
			p := got.Proposals[0]
			assert.Equal(t, have.Proposal{Facility: "tavrin-hospital", State: c.state, Reason: p.Reason, AsOf: at, Stale: c.isStale}, p)
			assert.Contains(t, p.Reason, c.says)
			if c.says == "" {
				assert.Empty(t, p.Reason)
			}
			assert.Equal(t, []string{"morvane-hospital", "quorreth-hospital"}, got.Silent)
		})
	}
}

func TestMatchByIDOnly(t *testing.T) {
	report := read(t, v1(
		hospital1("reg-17", fresh, traffic("Normal", "")),
		hospital1("quorreth-hospital", fresh, traffic("Closed", "")),
		strings.Replace(hospital1("zz", fresh, traffic("Normal", "")), "Name of zz", "Name of morvane-hospital", 1),
		hospital1("north-base", fresh, traffic("Normal", "")),
		hospital1("gone", fresh, traffic("Normal", "")),
	))
	got := report.Match(region(t), have.MatchOptions{Now: now, IDs: map[string]string{"reg-17": "tavrin-hospital", "gone": "gone-hospital"}})
	require.Len(t, got.Proposals, 2)
	assert.Equal(t, "quorreth-hospital", got.Proposals[0].Facility)
	assert.Equal(t, "tavrin-hospital", got.Proposals[1].Facility)
	assert.Equal(t, []have.Unmatched{
		{ID: "gone", Name: "Name of gone", Line: 7}, {ID: "north-base", Name: "Name of north-base", Line: 6}, {ID: "zz", Name: "Name of morvane-hospital", Line: 5},
	}, got.Unmatched, "neither by name nor to a base")
	assert.Equal(t, []string{"morvane-hospital"}, got.Silent)
	require.Len(t, got.Faults, 1)
	assert.Contains(t, got.Faults[0].Detail, `the id stands for "gone-hospital", which is no hospital of the list`)
}

func TestMatchDistrusts(t *testing.T) {
	far := strings.Replace(hospital1("tavrin-hospital", fresh, traffic("Closed", "")), "</have:Organization>",
		`<have:OrganizationGeoLocation><gml:Point><gml:pos>45.7 -29.1</gml:pos></gml:Point></have:OrganizationGeoLocation></have:Organization>`, 1)
	for _, c := range []struct {
		name      string
		hospitals []string
		says      string
	}{
		{"twice", []string{hospital1("tavrin-hospital", fresh, traffic("Normal", "")), hospital1("tavrin-hospital", fresh, traffic("Closed", ""))}, "more than once"},
		{"at another place", []string{far}, "km from that of the list"},
		{"from the future", []string{hospital1("tavrin-hospital", "2031-03-14T21:46:00Z", traffic("Closed", ""))}, "in the future"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := read(t, v1(c.hospitals...)).Match(region(t), have.MatchOptions{Now: now})
			assert.Empty(t, got.Proposals)
			require.Len(t, got.Undecided, len(c.hospitals))
			require.Len(t, got.Faults, len(c.hospitals))
			assert.Contains(t, got.Undecided[0].Why, c.says)
			assert.Contains(t, got.Faults[0].Detail, c.says)
		})
	}
	ahead := read(t, v1(hospital1("tavrin-hospital", "2031-03-14T21:45:00Z", traffic("Normal", "")))).Match(region(t), have.MatchOptions{Now: now})
	assert.Len(t, ahead.Proposals, 1, "clocks differ a little")
}

func TestMatchUndated(t *testing.T) {
	report, faults := have.Decode([]byte(v1(hospital1("tavrin-hospital", "", traffic("Normal", "")), hospital1("quorreth-hospital", "", traffic("Closed", "")))))
	require.Len(t, faults, 2)
	got := report.Match(region(t), have.MatchOptions{Now: now})
	require.Len(t, got.Undecided, 1)
	assert.Contains(t, got.Undecided[0].Why, "at a time that is not said")
	require.Len(t, got.Proposals, 1)
	assert.Equal(t, have.Proposal{Facility: "quorreth-hospital", State: facilities.Divert, Reason: "emergency traffic is closed", Stale: true}, got.Proposals[0])
}

func TestMatchColoursMeanOnlyWhatIsAgreed(t *testing.T) {
	report := read(t, v2(facility2("tavrin-hospital", "Red", "<lastUpdateTime>"+fresh+"</lastUpdateTime>")))
	got := report.Match(region(t), have.MatchOptions{Now: now})
	assert.Empty(t, got.Proposals)
	require.Len(t, got.Undecided, 1)
	assert.Contains(t, got.Undecided[0].Why, `the colour "red", and nothing says what that means here`)

	got = report.Match(region(t), have.MatchOptions{Now: now, Colours: map[string]facilities.AcceptState{"red": facilities.Divert, "green": facilities.Open}})
	require.Len(t, got.Proposals, 1)
	assert.Equal(t, facilities.Divert, got.Proposals[0].State)

	undated := read(t, v2(facility2("tavrin-hospital", "green", "")))
	got = undated.Match(region(t), have.MatchOptions{Now: now, Colours: map[string]facilities.AcceptState{"green": facilities.Open}})
	assert.Empty(t, got.Proposals, "an open state of unknown age is not open")
	assert.Len(t, got.Undecided, 1)
}

func TestMatchNotesWhatTheListShouldBeHeldAgainst(t *testing.T) {
	report := read(t, v1(hospital1("tavrin-hospital", fresh, traffic("Normal", ""),
		`<have:ServiceCoverageStatus><have:Burn>false</have:Burn><have:SurgeryIndicator><have:Surgery>false</have:Surgery></have:SurgeryIndicator></have:ServiceCoverageStatus>`)))
	got := report.Match(region(t), have.MatchOptions{Now: now})
	require.Len(t, got.Proposals, 1)
	assert.Equal(t, []string{"it reports no Surgery now, and the list has cardiothoracic_surgery there", "it reports no Surgery now, and the list has trauma_surgery there"},
		got.Proposals[0].Notes, "nothing of burns, which the list does not have there either")
}

// What is proposed can be written into the list as it is.
func FuzzDecode(f *testing.F) {
	for _, seed := range []string{
		"", v1(), v2(), v1(hospital1("tavrin-hospital", fresh, traffic("Closed", "no\u0007beds"))), v1(hospital1("quorreth-hospital", "9999-12-31T23:59:59Z", building("Closed", "Full"))),
		v1(hospital1("", "0001-01-01T00:00:00Z", traffic("Normal", ""))), v2(facility2("tavrin-hospital", "red", "")), v2("<facility/>", "<facility><facility/></facility>"),
		v1(strings.Repeat("<have:Hospital/>", 300)), v1(hospital1("tavrin-hospital", fresh, traffic("Advisory", strings.Repeat("ü", 400)))), "<!DOCTYPE x>", "\xff",
	} {
		f.Add([]byte(seed))
	}
	list := region(f)
	colours := map[string]facilities.AcceptState{"red": facilities.Closed, "green": facilities.Open}
	f.Fuzz(func(t *testing.T, data []byte) {
		report, faults := have.Decode(data)
		if report == nil {
			require.NotEmpty(t, faults)
			return
		}
		for _, fault := range faults {
			require.NotEmpty(t, fault.Detail)
		}
		got := report.Match(list, have.MatchOptions{Now: now, Colours: colours})
		require.LessOrEqual(t, len(got.Proposals)+len(got.Undecided)+len(got.Unmatched), len(report.Hospitals))
		require.Equal(t, len(report.Hospitals), len(got.Proposals)+len(got.Undecided)+len(got.Unmatched), "every hospital is accounted for")
		for _, p := range got.Proposals {
			hospital, ok := list.Get(p.Facility)
			require.True(t, ok && hospital.Kind == facilities.Hospital)
			require.Contains(t, []facilities.AcceptState{facilities.Open, facilities.Divert, facilities.Closed}, p.State)
			require.False(t, p.State == facilities.Open && p.Stale)
			require.LessOrEqual(t, len([]rune(p.Reason)), 200)
			require.NotContains(t, p.Reason, "\n")
			require.True(t, p.Stale || now.Sub(p.AsOf) <= have.DefaultMaxAge)
		}
	})
}
