package facilities

import "slices"

// The capabilities for which a hospital must say when the surgeon is present.
const (
	CardiothoracicSurgery           = "cardiothoracic_surgery"
	PaediatricCardiothoracicSurgery = "paediatric_cardiothoracic_surgery"
)

// Capability is a word of the vocabulary with its meaning in plain English.
type Capability struct {
	Word        string
	Description string
}

// vocabulary is in alphabetical order. It is open: a file may use other words, which
// get a warning, and a question may ask for them.
var vocabulary = []Capability{
	{"blood_bank", "blood and blood products in store, with a laboratory that crossmatches day and night"},
	{"burns", "a burns unit: intensive care and surgery for extensive burns"},
	{"cardiopulmonary_bypass", "a heart-lung machine that can be run for surgery or rewarming"},
	{"cardiothoracic_surgery", "surgeons who operate on the heart and inside the chest of adults"},
	{"computed_tomography", "a CT scanner that is staffed day and night"},
	{"ecmo", "extracorporeal membrane oxygenation can be started and continued"},
	{"emergency_department", "a department that receives emergencies of every kind at any hour"},
	{"intensive_care", "an intensive care unit for adults with ventilation"},
	{"interventional_radiology", "bleeding can be stopped through catheters under X-ray"},
	{"neurosurgery", "surgeons who operate on the head and the spine"},
	{"obstetrics", "childbirth with emergency caesarean section at any hour"},
	{"paediatric_cardiothoracic_surgery", "surgeons who operate on the heart and inside the chest of children"},
	{"paediatric_emergency_department", "an emergency department with a team for children"},
	{"paediatric_intensive_care", "an intensive care unit for children"},
	{"paediatric_trauma_surgery", "surgeons and a team for severely injured children"},
	{"percutaneous_coronary_intervention", "blocked coronary arteries can be opened through a catheter at any hour"},
	{"perfusionist", "a perfusionist, who runs the heart-lung machine or ECMO circuit, is available"},
	{"trauma_surgery", "surgeons and a team for severely injured adults"},
	{"vascular_surgery", "surgeons who operate on large blood vessels"},
	{"visiting_surgical_team", "an operating theatre with anaesthesia and scrub staff that takes a chest surgeon who comes in"},
}

// Vocabulary returns the known capabilities in alphabetical order.
func Vocabulary() []Capability { return slices.Clone(vocabulary) }

// needsSurgeons reports whether a hospital with the capability must state its surgeons.
func needsSurgeons(capability string) bool {
	return capability == CardiothoracicSurgery || capability == PaediatricCardiothoracicSurgery
}

var vocabularyWords = func() []string {
	words := make([]string, len(vocabulary))
	for i, c := range vocabulary {
		words[i] = c.Word
	}
	return words
}()
