package api_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestActions(t *testing.T) {
	d := editable(t)
	const facility, asset = "/v1/facilities/ettuquar-chest", "/v1/assets/heli-1"
	tests := []struct {
		name, path, template, body string
		has, not                   string
		action                     string
	}{
		{"divert", facility + "/accepting", "/v1/facilities/{id}/accepting", `{"state":"divert","reason":"full","until":"2031-03-14T23:00:00Z"}`,
			`"accepting":{"reason":"full","state":"divert","until":"2031-03-14T23:00:00Z"}`, "", "divert"},
		{"closed: nothing of the divert is left", facility + "/accepting", "/v1/facilities/{id}/accepting", `{"state":"closed"}`, `"accepting":{"state":"closed"}`, "full", "close"},
		{"open", facility + "/accepting", "/v1/facilities/{id}/accepting", `{"state":"open"}`, "", "accepting", "accept"},
		{"surgeon away", facility + "/away", "/v1/facilities/{id}/away", `{"what":"surgeon","capability":"cardiothoracic_surgery","until":"2031-03-14T22:00:00Z"}`,
			`"away":[{"capability":"cardiothoracic_surgery","until":"2031-03-14T22:00:00Z","what":"surgeon"}]`, "", "away"},
		{"theatre too", facility + "/away", "/v1/facilities/{id}/away", `{"what":"theatre","reason":"flooded"}`, `{"reason":"flooded","what":"theatre"}]`, "", "away"},
		{"the surgeon for longer", facility + "/away", "/v1/facilities/{id}/away", `{"what":"surgeon","capability":"cardiothoracic_surgery"}`,
			`"reason":"flooded"`, "22:00", "away"},
		{"theatre back", facility + "/away", "/v1/facilities/{id}/away", `{"what":"theatre","away":false}`, `"capability":"cardiothoracic_surgery"`, "flooded", "back"},
		{"surgeon back", facility + "/away", "/v1/facilities/{id}/away", `{"what":"surgeon","capability":"cardiothoracic_surgery","away":false}`, "", "away", "back"},
		{"busy", asset + "/state", "/v1/assets/{id}/state", `{"state":"committed","position":[-29.5,45.5],"free_at":"2031-03-14T22:10:00Z","reason":"search"}`,
			`"state":"committed"`, "until", "state"},
		{"moving", asset + "/state", "/v1/assets/{id}/state", `{"state":"moving","position":[-29.5,45.6],"until":"2031-03-14T22:30:00Z"}`, `"position":[-29.5,45.6]`, "free_at", "state"},
		{"home", asset + "/state", "/v1/assets/{id}/state", `{"state":"at_base"}`, "", `"state"`, "state"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := d.send("POST", tt.path, "application/json", tt.body)
			require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
			d.strict.check(t, "POST", tt.template, w)
			assert.Contains(t, w.Body.String(), tt.has)
			if tt.not != "" {
				assert.NotContains(t, w.Body.String(), tt.not)
			}
			newest, err := d.store.Current(t.Context())
			require.NoError(t, err)
			require.Len(t, newest.What, 1)
			assert.Equal(t, tt.action, newest.What[0].Action)
		})
	}
}

func TestCrossingIsClosed(t *testing.T) {
	d := editable(t)
	crossings := d.live.Region().RoadMap().Crossings
	require.NotEmpty(t, crossings)
	id := crossings[0].ID
	path := "/v1/roads/" + id + "/closed"
	w := d.send("POST", path, "application/json", `{"closed":true,"reason":"ice","until":"2031-03-14T22:00:00Z"}`)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	d.strict.check(t, "POST", "/v1/roads/{id}/closed", w)
	require.NotNil(t, d.live.Region().RoadMap().Crossings[0].Closed)
	assert.Equal(t, "ice", d.live.Region().RoadMap().Crossings[0].Closed.Reason)
	d.set(now.Add(time.Hour))
	n, err := d.live.Expire(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 2, n, "the closing, and a divert of February")
	assert.Nil(t, d.live.Region().RoadMap().Crossings[0].Closed)
	w = d.send("POST", path, "application/json", `{"closed":true}`)
	require.Equal(t, http.StatusUnprocessableEntity, w.Code, "a closing has a reason")
	w = d.send("POST", path, "application/json", `{"closed":false}`)
	require.Equal(t, http.StatusOK, w.Code, "it is open already")

	for _, e := range d.live.Region().Elements("roads.geojson") { // what is drawn only cannot be closed
		if line := string(e.Text); !strings.Contains(line, `"crossing"`) {
			w := d.send("POST", "/v1/roads/"+e.ID+"/closed", "application/json", `{"closed":true,"reason":"ice"}`)
			require.Equal(t, http.StatusUnprocessableEntity, w.Code, "%s", w.Body)
			checkProblem(t, w, "invalid-content")
			break
		}
	}
}

// TestAbsenceEnds: each absence by itself, and a vehicle's state.
func TestAbsenceEnds(t *testing.T) {
	d := editable(t)
	_, err := d.live.Expire(t.Context())
	require.NoError(t, err)
	const facility, asset = "/v1/facilities/ettuquar-chest", "/v1/assets/heli-1"
	before, _ := d.read(facility)
	home, _ := d.read(asset)
	say := func(path, body string) {
		t.Helper()
		w := d.send("POST", path, "application/json", body)
		require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	}
	expired := func(after time.Duration) int {
		t.Helper()
		d.set(now.Add(after))
		n, err := d.live.Expire(t.Context())
		require.NoError(t, err)
		return n
	}
	say(facility+"/away", `{"what":"theatre","until":"2031-03-14T22:00:00Z"}`)
	say(facility+"/away", `{"what":"surgeon","until":"2031-03-14T22:10:00Z"}`)
	say(asset+"/state", `{"state":"committed","position":[-29.5,45.5],"free_at":"2031-03-14T21:50:00Z","until":"2031-03-14T22:20:00Z"}`)
	assert.Zero(t, expired(time.Minute))
	assert.Equal(t, 1, expired(10*time.Minute))
	body, _ := d.read(asset)
	assert.Contains(t, body, `"state":"moving"`)
	assert.NotContains(t, body, "free_at")
	assert.Equal(t, 1, expired(20*time.Minute))
	body, _ = d.read(facility)
	assert.Contains(t, body, `"away":[{"until":"2031-03-14T22:10:00Z","what":"surgeon"}]`)
	assert.Equal(t, 2, expired(time.Hour))
	body, _ = d.read(facility)
	assert.Equal(t, before, body)
	body, _ = d.read(asset)
	assert.Equal(t, home, body)

	d.set(now)
	say(asset+"/state", `{"state":"committed","free_at":"2031-03-14T21:50:00Z","until":"2031-03-14T22:20:00Z"}`)
	say(facility+"/away", `{"what":"theatre","until":"2031-03-14T22:00:00Z"}`)
	say(facility+"/away", `{"what":"surgeon","until":"2031-03-14T22:10:00Z"}`)
	expired(24 * time.Hour) // all at once
	body, _ = d.read(facility)
	assert.Equal(t, before, body)
	body, _ = d.read(asset)
	assert.Equal(t, home, body)
}

func TestHostileActions(t *testing.T) {
	d := editable(t)
	const path, template = "/v1/facilities/ettuquar-chest/accepting", "/v1/facilities/{id}/accepting"
	tests := []struct {
		name, path, template, media, body string
		status                            int
		pointer                           string
	}{
		{"no state", path, template, "application/json", `{}`, 422, "#"},
		{"misspelt state", path, template, "application/json", `{"state":"diverted"}`, 422, "#/state"},
		{"unknown member", path, template, "application/json", `{"state":"divert","patient":"x"}`, 422, "#/patient"},
		{"until has passed", path, template, "application/json", `{"state":"divert","until":"2031-03-14T21:39:59Z"}`, 422, "#/until"},
		{"until now", path, template, "application/json", `{"state":"divert","until":"2031-03-14T21:40:00Z"}`, 422, "#/until"},
		{"until a local time", path, template, "application/json", `{"state":"divert","until":"2031-03-14 23:00"}`, 422, "#/until"},
		{"open until", path, template, "application/json", `{"state":"open","until":"2031-03-14T23:00:00Z"}`, 422, "#/until"},
		{"a reason with a control character", path, template, "application/json", `{"state":"divert","reason":"a\u0007"}`, 422, "#/reason"},
		{"a reason without end", path, template, "application/json", `{"state":"divert","reason":"` + strings.Repeat("x", 201) + `"}`, 422, "#/reason"},
		{"a list", path, template, "application/json", `[]`, 422, "#"},
		{"broken", path, template, "application/json", `{"state":`, 400, "#/state"},
		{"as a form", path, template, "application/x-www-form-urlencoded", `state=divert`, 415, ""},
		{"a base is no hospital", "/v1/facilities/air-ossuvaune/accepting", template, "application/json", `{"state":"divert"}`, 422, "#/properties/accepting"},
		{"nobody there", "/v1/facilities/nowhere/accepting", template, "application/json", `{"state":"divert"}`, 404, ""},
		{"a surgeon it does not have", "/v1/facilities/ettuquar-chest/away", "/v1/facilities/{id}/away", "application/json", `{"what":"surgeon","capability":"neurosurgery"}`, 422, "#/properties/away/0/capability"},
		{"moving, but where", "/v1/assets/heli-1/state", "/v1/assets/{id}/state", "application/json", `{"state":"moving"}`, 422, "#"},
		{"swapped position", "/v1/assets/heli-1/state", "/v1/assets/{id}/state", "application/json", `{"state":"moving","position":[45.5,-129.5]}`, 422, "#/position"},
		{"free while at base", "/v1/assets/heli-1/state", "/v1/assets/{id}/state", "application/json", `{"state":"at_base","free_at":"2031-03-14T23:00:00Z"}`, 422, "#/free_at"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := d.send("POST", tt.path, tt.media, tt.body)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			d.strict.check(t, "POST", tt.template, w)
			if tt.pointer != "" {
				first := object(t, w.Body.Bytes())["errors"].([]any)[0].(map[string]any)
				assert.Contains(t, first["pointer"], tt.pointer)
			}
		})
	}
	w := d.send("POST", path, "application/json", `{"state":"divert"}`, "If-Match", `"0123"`)
	require.Equal(t, http.StatusPreconditionFailed, w.Code, "not needed, but kept")
	assert.Equal(t, int64(1), d.live.State().Version.Number)
}
