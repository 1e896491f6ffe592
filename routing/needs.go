package routing

import (
	"fmt"
	"slices"

	"surgeonward/facilities"
)

// needs works out the capabilities the destination must have: a child's needs
// ask for the children's form of a capability where the trade knows one.
func (p *problem) needs() (cautions []string) {
	age := p.Patient.AgeYears
	if age == nil {
		cautions = append(cautions, "the patient's age is not stated: taken as an adult")
	}
	child := age != nil && *age < p.Settings.ChildBelowYears
	for _, need := range p.Patient.Needs {
		if form := "paediatric_" + need; child && slices.Contains(vocabulary(), form) {
			p.wants = append(p.wants, form)
			continue
		}
		p.wants = append(p.wants, need)
	}
	if child {
		cautions = append(cautions, fmt.Sprintf("a child: under %g years a children's centre is asked for", p.Settings.ChildBelowYears))
	}
	return cautions
}

// vocabulary is the words the trade's capabilities are known by.
func vocabulary() (words []string) {
	for _, c := range facilities.Vocabulary() {
		words = append(words, c.Word)
	}
	return words
}
