package terminal

import (
	"cmp"
	"fmt"
	"io"
	"time"

	"surgeonward/routing"
)

// PreAlertPage is an alert with whose region it is from.
type PreAlertPage struct {
	Alert         *routing.Alert
	Notes         []string // what a person should know about how the question was understood
	Region        string
	Demonstration bool
}

// WritePreAlert prints the message to read out, then the calls, then what to
// beware of, as Write does. Times of day are those of the receiving hospital.
func WritePreAlert(w io.Writer, p PreAlertPage, s Style) error {
	v := &view{style: s, columns: s.columns(), page: Page{Region: p.Region, Demonstration: p.Demonstration}}
	a := p.Alert
	m := &a.Message
	v.region()
	to, zone := "the hospital", cmp.Or(m.Zone, time.UTC)
	if m.Destination != nil {
		to = m.Destination.Name
	}
	v.paragraph("", fmt.Sprintf("To %s, %s. Option %s: %s", to, m.At.In(zone).Format("2006-01-02 15:04 MST"), a.Option.ID, upperFirst(a.Option.Sentence)))
	v.line("")
	v.paragraph("  ", m.Text)
	v.line("")
	if m.LeftOut > 0 {
		v.paragraph("", "All that was done: "+given(m)+".")
		v.line("")
	}
	if len(a.Calls) > 0 {
		v.paragraph("", "Calls, each by when it must be made so that it is not what the patient waits for:")
	} else {
		v.paragraph("", "No call is left to make.")
	}
	for i := range a.Calls {
		v.paragraph("  ", a.Calls[i].Sentence)
	}
	v.line("")
	for _, list := range [][]string{p.Notes, a.Answer.Cautions, m.Cautions} {
		for _, c := range list {
			v.paragraph("Note: ", c)
		}
	}
	v.paragraph("", routing.Caution)
	_, err := io.WriteString(w, v.out.String())
	return err
}

// given is every treatment, those that did not fit into the message as well.
func given(m *routing.Message) string {
	for _, s := range m.Sections {
		for _, item := range s.Items {
			if item.Name == "given" {
				return item.Text
			}
		}
	}
	return routing.NotStated
}
