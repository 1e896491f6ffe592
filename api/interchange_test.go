package api_test

import (
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
