package have_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/facilities/have"
)

var now = time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)

// region is a list of three hospitals and a base.
func region(t testing.TB) *facilities.List {
	t.Helper()
	feature := func(id, coordinates, properties string) string {
		return `{"type":"Feature","id":"` + id + `","geometry":{"type":"Point","coordinates":` + coordinates + `},"properties":{"name":"Name of ` + id + `",` + properties + `}}`
	}
	hospital := `"kind":"hospital","time_zone":"Etc/UTC","capabilities":["emergency_department","trauma_surgery","cardiothoracic_surgery"],
		"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":"resident"}}},"theatre":{"otherwise":{}}`
	list, errs, _ := facilities.Decode([]byte(`{"type":"FeatureCollection","features":[`+strings.Join([]string{
		feature("tavrin-hospital", "[-29.41,45.52]", hospital),
		feature("quorreth-hospital", "[-29.1,45.7]", hospital),
		feature("morvane-hospital", "[-29.6,45.6]", hospital),
		feature("north-base", "[-29.2,45.4]", `"kind":"base"`),
	}, ",")+`]}`), facilities.DecodeOptions{})
	require.Empty(t, errs)
	return list
}

// v1 is a document of version 1.0 with hospitals in it.
func v1(hospitals ...string) string {
	return `<?xml version="1.0" encoding="UTF-8"?>
<have:HospitalStatus xmlns:have="urn:oasis:names:tc:emergency:EDXL:HAVE:1.0" xmlns:gml="http://www.opengis.net/gml" xmlns:xnl="urn:oasis:names:tc:ciq:xnl:3">
` + strings.Join(hospitals, "\n") + `
</have:HospitalStatus>`
}

// hospital1 is a hospital of version 1.0 with the id, brought up to date at a time,
// and with more in it.
func hospital1(id, at string, more ...string) string {
	updated := "<have:LastUpdateTime>" + at + "</have:LastUpdateTime>"
	if at == "" {
		updated = ""
	}
	return `<have:Hospital><have:Organization><have:OrganizationInformation><xnl:OrganisationName xnl:ID="` + id + `"><xnl:NameElement>Name of ` + id +
		`</xnl:NameElement></xnl:OrganisationName></have:OrganizationInformation></have:Organization>` + strings.Join(more, "") + updated + `</have:Hospital>`
}

func traffic(status, reason string) string {
	return `<have:EmergencyDepartmentStatus><have:EMSTraffic><have:EMSTrafficStatus>` + status + `</have:EMSTrafficStatus><have:EMSTrafficReason>` + reason +
		`</have:EMSTrafficReason></have:EMSTraffic></have:EmergencyDepartmentStatus>`
}

func building(facility, clinical string) string {
	return `<have:HospitalFacilityStatus><have:ClinicalStatus>` + clinical + `</have:ClinicalStatus><have:FacilityStatus>` + facility + `</have:FacilityStatus></have:HospitalFacilityStatus>`
}

const fresh = "2031-03-14T21:20:00Z" // 20 minutes before now

// v2 is a document of version 2.0 with facilities in it.
func v2(items ...string) string {
	return `<HAVE xmlns="urn:oasis:names:tc:emergency:edxl:have:2.0" xmlns:ct="urn:oasis:names:tc:emergency:edxl:ct:1.0" xmlns:gml="http://www.opengis.net/gml/3.2">` + strings.Join(items, "") + `</HAVE>`
}

func facility2(id, colour, more string) string {
	return `<facility><facilityInformation><facilityID>` + id + `</facilityID><facilityName>Name of ` + id + `</facilityName>` +
		`<facilityGeoLocation><ct:EDXLGeoLocation><gml:Point><gml:pos>45.52 -29.41</gml:pos></gml:Point></ct:EDXLGeoLocation></facilityGeoLocation></facilityInformation>` +
		`<facilityColourStatus><colourCode><ct:ValueListURI>urn:example</ct:ValueListURI><ct:Value>` + colour + `</ct:Value></colourCode></facilityColourStatus>` + more + `</facility>`
}

// read decodes a document that has no faults.
func read(t testing.TB, document string) *have.Report {
	t.Helper()
	report, faults := have.Decode([]byte(document))
	require.Empty(t, faults)
	require.NotNil(t, report)
	return report
}
