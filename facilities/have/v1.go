package have

import (
	"slices"

	"surgeonward/facilities/strictjson"
	"surgeonward/geo/xmltree"
)

// The names of organisations, OASIS CIQ version 3.
const nsNames = "urn:oasis:names:tc:ciq:xnl:3"

// hospital1 reads a Hospital of version 1.0.
func (d *decoder) hospital1(e *xmltree.Element) Hospital {
	h := Hospital{Line: e.Line}
	organization := d.child(e, "Organization")
	information := d.child(organization, "OrganizationInformation")
	name := information.Child(nsNames, "OrganisationName")
	h.Name = plain(name.Child(nsNames, "NameElement").Content())
	d.id1(&h, information, name)
	h.Position = d.point(&h, d.child(organization, "OrganizationGeoLocation"))

	department := d.child(e, "EmergencyDepartmentStatus")
	traffic := d.child(department, "EMSTraffic")
	h.Traffic = word(d, &h, d.child(traffic, "EMSTrafficStatus"), TrafficNormal, TrafficAdvisory, TrafficClosed, TrafficNotApplicable)
	h.TrafficReason = plain(d.child(traffic, "EMSTrafficReason").Content())
	h.RoadOffload = word(d, &h, d.child(department, "EMSAmbulanceStatus", "EMSOffloadStatus"), OffloadNormal, OffloadDelayed)
	h.AirOffload = word(d, &h, d.child(department, "EMSAirTransportStatus", "EMSOffloadStatus"), OffloadNormal, OffloadDelayed)

	building := d.child(e, "HospitalFacilityStatus")
	h.Facility = word(d, &h, d.child(building, "FacilityStatus"), FacilityNormal, FacilityCompromised, FacilityEvacuating, FacilityClosed)
	h.Clinical = word(d, &h, d.child(building, "ClinicalStatus"),
		ClinicalNormal, ClinicalSurge1, ClinicalSurge2, ClinicalFull, ClinicalClosed, ClinicalNotApplicable)

	h.Services = d.services1(&h, d.child(e, "ServiceCoverageStatus"))
	h.UpdatedAt = d.instant(&h, d.child(e, "LastUpdateTime"))
	if h.UpdatedAt.IsZero() && d.child(e, "LastUpdateTime").Content() == "" {
		d.fault(&h, h.Line, "LastUpdateTime is missing: how old the status is cannot be told")
	}
	return h
}

// id1 takes the organisation's id from the two places in which senders put it.
func (d *decoder) id1(h *Hospital, information, name *xmltree.Element) {
	var ids []string
	if id := plain(d.child(information, "OrganizationID").Content()); id != "" {
		ids = append(ids, id)
	}
	for _, space := range []string{nsNames, ""} {
		if id, _ := name.Attr(space, "ID"); id != "" && !slices.Contains(ids, plain(id)) {
			ids = append(ids, plain(id))
		}
	}
	switch len(ids) {
	case 0:
		d.fault(h, h.Line, "the hospital has no id (OrganizationID, or ID of OrganisationName): it cannot be matched")
	case 1:
		h.ID = ids[0]
	default:
		d.fault(h, h.Line, "the hospital has two ids, "+strictjson.Quote(ids[0])+" and "+strictjson.Quote(ids[1])+": it cannot be matched")
	}
}

// services1 reads every element of the service coverage that says true or false,
// however deep the standard puts it.
func (d *decoder) services1(h *Hospital, coverage *xmltree.Element) (services []Service) {
	seen := map[string]bool{}
	coverage.Walk(func(e *xmltree.Element) bool {
		if len(e.Children) > 0 || e == coverage || e.Name.Space != d.space {
			return true
		}
		s := Service{Name: plain(e.Name.Local)}
		switch e.Text {
		case "true", "1":
			yes := true
			s.Available = &yes
		case "false", "0":
			no := false
			s.Available = &no
		default:
			return true // a level or a comment
		}
		if seen[s.Name] {
			d.fault(h, e.Line, "service "+s.Name+" is given twice: the first counts")
			return true
		}
		seen[s.Name] = true
		services = append(services, s)
		return true
	})
	return services
}
