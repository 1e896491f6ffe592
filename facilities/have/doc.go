// Package have reads hospital status in EDXL-HAVE, the Hospital AVailability
// Exchange of OASIS, versions 1.0 and 2.0, and says what it means for the accepting
// states of a list of facilities.
//
// [Decode] reads a document into a [Report]; [Report.Match] sets it against a list
// and proposes accepting states. Nothing is changed here, and nothing is guessed: a
// hospital that does not say whether it takes patients stays as it is, one that says
// so too long ago is not taken for open, and hospitals are matched by id only.
//
// No element of the standard says that a surgeon for the chest is there now, so that
// a report never changes capabilities or rotas.
//
// How the names were read. Version 1.0: the elements and words of
// EmergencyDepartmentStatus, HospitalFacilityStatus/ClinicalStatus,
// ServiceCoverageStatus, OrganizationGeoLocation and LastUpdateTime were read in
// bindings generated from its schema; the words of FacilityStatus and the place of the
// organisation's id second hand, in style sheets; the surge levels of ClinicalStatus
// second hand, in a list of the words in a later schema. Version 2.0: second hand, in
// style sheets for a draft; its schema could not be read, and where it keeps the time
// of the last update is a guess. What the words mean is from memory.
package have
