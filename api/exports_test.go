package api_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/exchange"
)

// TestExports: every file comes with its media type, and not again to whom has it.
// Source: definition; what is in the files is tested where they are made.
func TestExports(t *testing.T) {
	h := handler(t)
	r := demo(t)
	for _, f := range exchange.Files() {
		t.Run(f.Name, func(t *testing.T) {
			w := get(h, "/v1/exports/"+f.Name)
			require.Equal(t, http.StatusOK, w.Code, w.Body)
			assert.Equal(t, f.Media, strings.Split(w.Header().Get("Content-Type"), ";")[0])
			assert.Equal(t, `attachment; filename="`+f.Name+`"`, w.Header().Get("Content-Disposition"))
			for _, place := range r.Facilities.All() {
				if f.List == "facilities" {
					assert.Contains(t, w.Body.String(), place.ID)
				}
			}
			again := do(h, call{method: "GET", path: "/v1/exports/" + f.Name, header: http.Header{"If-None-Match": {w.Header().Get("ETag")}}})
			assert.Equal(t, http.StatusNotModified, again.Code)
			other := do(h, call{method: "GET", path: "/v1/exports/" + f.Name, header: http.Header{"Accept": {"image/png"}}})
			assert.Equal(t, http.StatusNotAcceptable, other.Code)
		})
	}
	w := get(h, "/v1/exports/roads.kml")
	assert.Equal(t, http.StatusNotFound, w.Code)
	assert.Contains(t, w.Body.String(), "there are facilities.kml,")
}

// TestExportedTablesComeBack: a table of the demo region changes nothing in it.
func TestExportedTablesComeBack(t *testing.T) {
	r := demo(t)
	h := handler(t)
	got, faults := exchange.FacilityTable(r).Merge(r.Facilities.Encode(), get(h, "/v1/exports/facilities.csv").Body.Bytes())
	require.Empty(t, faults)
	assert.Equal(t, string(r.Facilities.Encode()), string(got.File))
	fleet, faults := exchange.AssetTable(r).Merge(r.FleetFile(), get(h, "/v1/exports/assets.csv").Body.Bytes())
	require.Empty(t, faults)
	assert.Equal(t, string(r.FleetFile()), string(fleet.File))
}

// TestListsInOtherFormats: RFC 9110 section 12.5.1; without a wish the list comes as it
// stands, and a part of it comes in no other format.
func TestListsInOtherFormats(t *testing.T) {
	h := handler(t)
	for _, c := range []struct{ path, accept, media, same string }{
		{"/v1/facilities", exchange.TypeKML, exchange.TypeKML, "/v1/exports/facilities.kml"},
		{"/v1/facilities", "text/csv, application/json;q=0.5", exchange.TypeCSV, "/v1/exports/facilities.csv"},
		{"/v1/facilities", "*/*", "application/geo+json", ""},
		{"/v1/facilities", "", "application/geo+json", ""},
		{"/v1/assets", "text/csv", exchange.TypeCSV, "/v1/exports/assets.csv"},
		{"/v1/assets", exchange.TypeKML, "", ""},
		{"/v1/roads", "text/csv", "", ""},
		{"/v1/facilities?kind=base", "text/csv", "", ""},
	} {
		w := do(h, call{method: "GET", path: c.path, header: http.Header{"Accept": {c.accept}}})
		if c.media == "" {
			assert.Equal(t, http.StatusNotAcceptable, w.Code, c)
			continue
		}
		require.Equal(t, http.StatusOK, w.Code, c)
		assert.Equal(t, c.media, strings.Split(w.Header().Get("Content-Type"), ";")[0])
		assert.Contains(t, w.Header().Values("Vary"), "Accept")
		if c.same != "" {
			assert.Equal(t, get(h, c.same).Body.String(), w.Body.String())
		}
	}
}
