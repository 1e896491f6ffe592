package have

import (
	"strings"

	"surgeonward/geo/xmltree"
)

// nsTypes are the types that the EDXL standards share.
const nsTypes = "urn:oasis:names:tc:emergency:edxl:ct:1.0"

// hospital2 reads a facility of version 2.0.
func (d *decoder) hospital2(e *xmltree.Element) Hospital {
	h := Hospital{Line: e.Line}
	information := d.child(e, "facilityInformation")
	h.ID = plain(d.child(information, "facilityID").Content())
	h.Name = plain(d.child(information, "facilityName").Content())
	if h.ID == "" {
		d.fault(&h, h.Line, "the facility has no facilityID: it cannot be matched")
	}
	if location := d.child(information, "facilityGeoLocation"); location != nil {
		h.Position = d.point(&h, location.Child(nsTypes, "EDXLGeoLocation"))
	}
	h.Colour = colour(d.child(e, "facilityColourStatus", "colourCode"))
	for _, item := range d.child(e, "serviceList").All(d.space, "serviceListItem") {
		name := plain(d.child(item, "serviceName").Content())
		if name != "" {
			h.Services = append(h.Services, Service{Name: name, Colour: colour(d.child(item, "serviceStatus", "colourStatus", "colourCodeDefault"))})
		}
	}
	h.UpdatedAt = d.instant(&h, d.child(e, "lastUpdateTime"))
	return h
}

// colour takes the value of a colour code.
func colour(code *xmltree.Element) string {
	return strings.ToLower(plain(code.Child(nsTypes, "Value").Content()))
}
