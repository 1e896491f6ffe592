package have_test

import (
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/have"
)

func truth(b bool) *bool { return &b }

// Source of the element names and words: see the package comment. The values are
// invented.
func TestDecodeVersion1(t *testing.T) {
	document := v1(`<have:Hospital>
  <have:Organization>
    <have:OrganizationInformation><xnl:OrganisationName xnl:ID="tavrin-hospital"><xnl:NameElement>Tavrin Bay  Hospital</xnl:NameElement></xnl:OrganisationName></have:OrganizationInformation>
    <have:OrganizationGeoLocation><gml:Point><gml:pos>45.5213 -29.4102</gml:pos></gml:Point></have:OrganizationGeoLocation>
  </have:Organization>
  <have:EmergencyDepartmentStatus>
    <have:EMSTraffic><have:EMSTrafficStatus>Advisory</have:EMSTrafficStatus><have:EMSTrafficReason>CT out
of order</have:EMSTrafficReason></have:EMSTraffic>
    <have:EMSAmbulanceStatus><have:EMSOffloadStatus>Normal</have:EMSOffloadStatus></have:EMSAmbulanceStatus>
    <have:EMSAirTransportStatus><have:EMSOffloadStatus>Delayed</have:EMSOffloadStatus><have:EMSOffloadMinutes>20</have:EMSOffloadMinutes></have:EMSAirTransportStatus>
  </have:EmergencyDepartmentStatus>
  <have:ServiceCoverageStatus>
    <have:Burn>false</have:Burn><have:EmergencyDepartment>1</have:EmergencyDepartment>
    <have:SurgeryIndicator><have:Surgery>true</have:Surgery><have:SurgerySubType><have:Vascular>0</have:Vascular></have:SurgerySubType></have:SurgeryIndicator>
    <have:TraumaCenterServicesIndicator><have:TraumaCenterServices>true</have:TraumaCenterServices><have:TraumaCenterServicesLevel>Level1</have:TraumaCenterServicesLevel></have:TraumaCenterServicesIndicator>
    <have:CommentText>none</have:CommentText>
  </have:ServiceCoverageStatus>
  <have:HospitalFacilityStatus><have:ClinicalStatus>Full</have:ClinicalStatus><have:FacilityStatus>Compromised</have:FacilityStatus></have:HospitalFacilityStatus>
  <have:LastUpdateTime>2031-03-14T19:20:00-02:00</have:LastUpdateTime>
</have:Hospital>`)
	report := read(t, document)
	assert.Equal(t, &have.Report{Version: have.V1, Hospitals: []have.Hospital{{
		Line: 3, ID: "tavrin-hospital", Name: "Tavrin Bay Hospital", Position: &orb.Point{-29.4102, 45.5213},
		UpdatedAt: time.Date(2031, 3, 14, 21, 20, 0, 0, time.UTC),
		Traffic:   have.TrafficAdvisory, TrafficReason: "CT out of order", Facility: have.FacilityCompromised, Clinical: have.ClinicalFull,
		RoadOffload: have.OffloadNormal, AirOffload: have.OffloadDelayed,
		Services: []have.Service{{Name: "Burn", Available: truth(false)}, {Name: "EmergencyDepartment", Available: truth(true)}, {Name: "Surgery", Available: truth(true)},
			{Name: "Vascular", Available: truth(false)}, {Name: "TraumaCenterServices", Available: truth(true)}},
	}}}, report)

	wrapped := `<d:EDXLDistribution xmlns:d="urn:oasis:names:tc:emergency:EDXL:DE:1.0"><d:contentObject><d:xmlContent><d:embeddedXMLContent>` +
		strings.TrimPrefix(document, `<?xml version="1.0" encoding="UTF-8"?>`) + `</d:embeddedXMLContent></d:xmlContent></d:contentObject></d:EDXLDistribution>`
	inside := read(t, wrapped)
	inside.Hospitals[0].Line = 3
	assert.Equal(t, report, inside, "the same inside another message")
	assert.Equal(t, report, read(t, strings.ReplaceAll(document, "EDXL:HAVE", "edxl:have")), "capitals of the namespace do not matter")
}

// Source of the element names: style sheets for a draft of version 2.0, second hand.
func TestDecodeVersion2(t *testing.T) {
	report := read(t, v2(facility2("tavrin-hospital", "Yellow", `<serviceList><serviceListItem><serviceName>Surgery</serviceName><serviceStatus><colourStatus><colourCodeDefault>`+
		`<ct:Value>red</ct:Value></colourCodeDefault></colourStatus></serviceStatus></serviceListItem></serviceList>`)))
	assert.Equal(t, &have.Report{Version: have.V2, Hospitals: []have.Hospital{{
		Line: 1, ID: "tavrin-hospital", Name: "Name of tavrin-hospital", Position: &orb.Point{-29.41, 45.52}, Colour: "yellow",
		Services: []have.Service{{Name: "Surgery", Colour: "red"}},
	}}}, report)
}

func TestDecodeFindsEveryFaultOfAHospital(t *testing.T) {
	report, faults := have.Decode([]byte(v1(
		hospital1("one", "yesterday", traffic("Open", ""), building("Fine", "Busy"),
			`<have:ServiceCoverageStatus><have:Burn>true</have:Burn><have:Burn>false</have:Burn></have:ServiceCoverageStatus>`),
		hospital1("two", "2031-03-14T21:20:00"),
		hospital1("three", ""),
		strings.Replace(hospital1("four", fresh), "</have:Organization>", `<have:OrganizationGeoLocation><gml:Point><gml:pos>129.41 45.52</gml:pos></gml:Point></have:OrganizationGeoLocation></have:Organization>`, 1),
		strings.Replace(hospital1("five", fresh), "</have:Organization>", `<have:OrganizationGeoLocation/></have:Organization>`, 1),
		`<have:Hospital>`+"<have:LastUpdateTime>"+fresh+"</have:LastUpdateTime>"+`</have:Hospital>`,
		strings.Replace(hospital1("seven", fresh), "<xnl:Org", "<have:OrganizationID>eight</have:OrganizationID><xnl:Org", 1),
	)))
	require.NotNil(t, report)
	require.Len(t, report.Hospitals, 7)
	says := make([]string, len(faults))
	for i, f := range faults {
		says[i] = f.Hospital + ": " + f.Detail
		assert.Positive(t, f.Line)
	}
	all := strings.Join(says, "\n")
	for _, want := range []string{
		`one: EMSTrafficStatus "Open" is not a word of the standard and counts as not said: use Normal, Advisory, Closed, NotApplicable`,
		`one: FacilityStatus "Fine"`, `one: ClinicalStatus "Busy"`, `one: LastUpdateTime "yesterday" is not a time`, `one: service Burn is given twice`,
		`two: LastUpdateTime "2031-03-14T21:20:00" has no zone`, `three: LastUpdateTime is missing`,
		`four: the position cannot be read: latitude 129.41 is outside -90 to 90 degrees; the two may be swapped`,
		`five: the position has no gml:Point`, `: the hospital has no id`, `: the hospital has two ids, "eight" and "seven"`,
	} {
		assert.Contains(t, all, want)
	}
	assert.Len(t, faults, 11)
	assert.Empty(t, report.Hospitals[0].Traffic, "a word that is not known is not said")
	assert.Empty(t, report.Hospitals[6].ID)
}

func TestDecodeRefuses(t *testing.T) {
	for _, c := range []struct{ name, in, says string }{
		{"nothing", "", "holds no element"},
		{"another message", "<alert/>", "holds no EDXL-HAVE message"},
		{"no namespace", "<HospitalStatus><Hospital/></HospitalStatus>", "holds no EDXL-HAVE message"},
		{"version 3", strings.Replace(v2(), "have:2.0", "have:3.0", 1), "holds no EDXL-HAVE message"},
		{"the wrong root for the version", strings.Replace(v2(), "have:2.0", "have:1.0", 1), "holds no EDXL-HAVE message"},
		{"two messages", "<a>" + v2(facility2("x", "green", "")) + v2() + "</a>", "second EDXL-HAVE message"},
		{"entities", `<!DOCTYPE a [<!ENTITY x "y">]>` + v2(), "document type declaration"},
		{"too many", v2(strings.Repeat("<facility/>", have.MaxHospitals+1)), "more than 5000"},
		{"too long", strings.Repeat("<", have.MaxBytes+1), "at most 8388608 are read"},
		{"nested", strings.Repeat("<a>", 1000), "nested more than 40 deep"},
		{"cut short", v1(hospital1("one", fresh))[:400], "not well-formed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			report, faults := have.Decode([]byte(c.in))
			assert.Nil(t, report)
			require.Len(t, faults, 1)
			assert.Contains(t, faults[0].Detail, c.says)
		})
	}
	report, faults := have.Decode([]byte(v2()))
	assert.NotNil(t, report)
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].Detail, "it says nothing")
}

func TestDecodeInBoundedMemory(t *testing.T) {
	wrong := hospital1("x", "never", traffic("Open", strings.Repeat("y", 1000)))
	for name, c := range map[string]struct {
		in       string
		maxBytes uint64
	}{
		"100 MB":                 {strings.Repeat("x", 100<<20), 1 << 16},
		"elements to the limit":  {v1(strings.Repeat("<a/>", 500_000)), 200 << 20},
		"faults to the limit":    {v1(strings.Repeat(wrong, 4000)), 100 << 20},
		"services to the limit":  {v1(hospital1("x", fresh, "<have:ServiceCoverageStatus>"+strings.Repeat("<have:Burn>1</have:Burn>", 200_000)+"</have:ServiceCoverageStatus>")), 300 << 20},
		"namespaces to the full": {v1(strings.Repeat(`<a xmlns="urn:x">`, 39)), 1 << 20},
	} {
		t.Run(name, func(t *testing.T) {
			data := []byte(c.in)
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, faults := have.Decode(data)
			runtime.ReadMemStats(&after)
			assert.NotEmpty(t, faults)
			assert.LessOrEqual(t, len(faults), 201)
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, c.maxBytes)
		})
	}
}
