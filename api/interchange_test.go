package api_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
)

// TestTable: what is exported can be changed in a spreadsheet and merged back.
func TestTable(t *testing.T) {
	d := editable(t)
	const path, template = "/v1/region/tables/assets", "/v1/region/tables/{list}"
	csv := get(d, "/v1/exports/assets.csv").Body.String()
	require.Contains(t, csv, "Helicopter 1")
	send := func(query, body string, status int) map[string]any {
		w := d.send("POST", path+query, "text/csv", body)
		require.Equal(t, status, w.Code, "%s", w.Body)
		d.strict.check(t, "POST", template, w)
		return object(t, w.Body.Bytes())
	}
	same := send("?dry_run=true", csv, 200)
	assert.InDelta(t, len(d.live.Region().Fleet.Assets()), same["unchanged"], 0)
	changed := strings.Replace(csv, "Helicopter 1", "Helicopter One", 1)
	out := send("?dry_run=true", changed, 200)
	assert.Equal(t, map[string]any{"count": 1.0, "ids": []any{"heli-1"}}, out["changed"])
	assert.Equal(t, int64(1), d.live.State().Version.Number)
	out = send("", changed, 200)
	assert.InDelta(t, 2, out["version"], 0)
	body, _ := d.read("/v1/assets/heli-1")
	assert.Contains(t, body, "Helicopter One")
	bad := send("?dry_run=true", "id,base\nheli-1,nowhere\n", 200)
	assert.NotEmpty(t, bad["rows"], "%v", bad)
	rows := send("?dry_run=true", "id,cruise_kt\nheli-1,fast\n", 200)["rows"].([]any)
	require.Len(t, rows, 1)
	assert.InDelta(t, 2, rows[0].(map[string]any)["line"], 0)
	send("", "id,cruise_kt\nheli-1,fast\n", 422)
	send("", "", 422)
	w := d.send("POST", "/v1/region/tables/roads", "text/csv", csv)
	require.Equal(t, 404, w.Code)
	w = d.send("POST", path, "application/json", csv)
	require.Equal(t, 415, w.Code)
	assert.Equal(t, int64(2), d.live.State().Version.Number)
}

const haveReport = `<?xml version="1.0" encoding="UTF-8"?>
<HospitalStatus xmlns="urn:oasis:names:tc:emergency:EDXL:HAVE:1.0">
 <Hospital>
  <Organization><OrganizationInformation><OrganizationID>ettuquar-chest</OrganizationID><OrganizationName>Ettuquar</OrganizationName></OrganizationInformation></Organization>
  <EmergencyDepartmentStatus><EMSTraffic><EMSTrafficStatus>Closed</EMSTrafficStatus><EMSTrafficReason>flooded</EMSTrafficReason></EMSTraffic></EmergencyDepartmentStatus>
  <LastUpdateTime>2031-03-14T21:30:00Z</LastUpdateTime>
 </Hospital>
</HospitalStatus>`

// TestStatusReport: a hospital that says that it is closed is taken at its word.
func TestStatusReport(t *testing.T) {
	d := editable(t)
	const path = "/v1/facilities/status"
	send := func(query, body string, status int) map[string]any {
		w := d.send("POST", path+query, "application/edxl+xml", body)
		require.Equal(t, status, w.Code, "%s", w.Body)
		d.strict.check(t, "POST", path, w)
		return object(t, w.Body.Bytes())
	}
	out := send("?dry_run=true", haveReport, 200)
	require.Len(t, out["proposals"], 1, "%v", out)
	assert.Equal(t, int64(1), d.live.State().Version.Number)
	out = send("", haveReport, 200)
	assert.InDelta(t, 2, out["made"], 0)
	f, _ := d.live.Region().Facilities.Get("ettuquar-chest")
	assert.NotEqual(t, facilities.Open, f.Accepting.State)
	assert.Contains(t, f.Accepting.Reason, "flooded")
	out = send("", haveReport, 200)
	assert.InDelta(t, 2, out["made"], 0, "the same again changes nothing")
	send("", "<a>", 422)
	send("", "", 422)
	w := d.send("POST", path, "text/plain", haveReport)
	require.Equal(t, http.StatusUnsupportedMediaType, w.Code)
}

const colourReport = `<HAVE xmlns="urn:oasis:names:tc:emergency:edxl:have:2.0" xmlns:ct="urn:oasis:names:tc:emergency:edxl:ct:1.0"><facility>
 <facilityInformation><facilityID>urn:example:17</facilityID></facilityInformation>
 <facilityColourStatus><colourCode><ct:Value>Amber</ct:Value></colourCode></facilityColourStatus>
 <lastUpdateTime>2031-03-14T21:30:00Z</lastUpdateTime>
</facility></HAVE>`

// TestStatusReportSettings: the region's settings say which hospital an id of
// the reports is, and what a colour means; what is wrong with them is told with
// its place. Source: the settings' schema.
func TestStatusReportSettings(t *testing.T) {
	d := editable(t)
	report := func(query string) map[string]any {
		w := d.send("POST", "/v1/facilities/status"+query, "application/edxl+xml", colourReport)
		require.Equal(t, 200, w.Code, "%s", w.Body)
		d.strict.check(t, "POST", "/v1/facilities/status", w)
		return object(t, w.Body.Bytes())
	}
	out := report("?dry_run=true")
	assert.Empty(t, out["proposals"])
	assert.Len(t, out["unmatched"], 1)

	const path = "/v1/region/files/settings.json"
	put := func(status string, want int) map[string]any {
		body, tag := d.read(path)
		var settings map[string]any
		require.NoError(t, json.Unmarshal([]byte(body), &settings))
		settings["status_reports"] = json.RawMessage(status)
		text, err := json.Marshal(settings)
		require.NoError(t, err)
		w := d.send("PUT", path, "application/json", string(text), "If-Match", tag)
		require.Equal(t, want, w.Code, "%s", w.Body)
		return object(t, w.Body.Bytes())
	}
	wrong := put(`{"ids":[{"reported":"urn:example:17"}],"colours":[{"colour":"amber","state":"busy"}]}`, http.StatusUnprocessableEntity)
	var pointers []string
	for _, f := range wrong["errors"].([]any) {
		pointers = append(pointers, f.(map[string]any)["pointer"].(string))
	}
	assert.Equal(t, []string{"#/status_reports/colours/0/state", "#/status_reports/ids/0"}, pointers)

	put(`{"ids":[{"reported":"urn:example:17","facility":"ettuquar-chest"}]}`, 200)
	out = report("?dry_run=true")
	assert.Empty(t, out["proposals"])
	require.Len(t, out["undecided"], 1)
	assert.Contains(t, out["undecided"].([]any)[0].(map[string]any)["why"], "under status_reports")

	put(`{"ids":[{"reported":"urn:example:17","facility":"ettuquar-chest"}],"colours":[{"colour":"amber","state":"divert"}]}`, 200)
	out = report("")
	require.Len(t, out["proposals"], 1)
	f, _ := d.live.Region().Facilities.Get("ettuquar-chest")
	assert.Equal(t, facilities.Divert, f.Accepting.State)
	assert.Equal(t, "reported as amber", f.Accepting.Reason)
}
