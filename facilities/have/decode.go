package have

import (
	"errors"
	"fmt"
	"strings"
	"unicode"

	"surgeonward/geo/xmltree"
)

// The namespaces of the versions; senders write capitals in either way.
const (
	nsV1 = "urn:oasis:names:tc:emergency:edxl:have:1.0"
	nsV2 = "urn:oasis:names:tc:emergency:edxl:have:2.0"
)

// The bounds of a document, far above what one region reports.
const (
	MaxBytes     = 8 << 20
	MaxHospitals = 5000
	maxDepth     = 40
	maxElements  = 400_000
	maxFaults    = 200
	maxText      = 200 // characters of a name or reason
)

// Decode reads a document: a HAVE message, or one wrapped in another message such as
// EDXL-DE. The report is nil where the document as a whole cannot be read. A hospital
// with faults is in the report without what is at fault.
func Decode(data []byte) (*Report, []Fault) {
	root, err := xmltree.Parse(data, xmltree.Limits{Bytes: MaxBytes, Depth: maxDepth, Elements: maxElements})
	if err != nil {
		fault := Fault{Detail: err.Error()}
		if refusal := (*xmltree.Error)(nil); errors.As(err, &refusal) {
			fault = Fault{Line: refusal.Line, Detail: refusal.Reason}
		}
		return nil, []Fault{fault}
	}
	d := decoder{}
	messages := d.messages(root)
	switch {
	case len(messages) == 0:
		return nil, []Fault{{Line: root.Line, Detail: "the document holds no EDXL-HAVE message: HospitalStatus in the namespace " +
			nsV1 + " or HAVE in " + nsV2}}
	case len(messages) > 1:
		return nil, []Fault{{Line: messages[1].Line, Detail: "the document holds a second EDXL-HAVE message: send one at a time"}}
	}
	report := d.report(messages[0])
	if report == nil {
		return nil, d.faults
	}
	if d.dropped > 0 {
		d.faults = append(d.faults, Fault{Detail: fmt.Sprintf("%d more faults are not shown: correct these first", d.dropped)})
	}
	return report, d.faults
}

// decoder reads one document and gathers what is wrong with it.
type decoder struct {
	faults  []Fault
	dropped int
	space   string // the message's namespace as it is written
}

func (d *decoder) fault(h *Hospital, line int, detail string) {
	if len(d.faults) >= maxFaults {
		d.dropped++
		return
	}
	f := Fault{Line: line, Detail: detail}
	if h != nil {
		f.Hospital = h.ID
	}
	d.faults = append(d.faults, f)
}

// messages returns the HAVE messages in a document.
func (d *decoder) messages(root *xmltree.Element) (found []*xmltree.Element) {
	root.Walk(func(e *xmltree.Element) bool {
		v1 := e.Name.Local == "HospitalStatus" && strings.EqualFold(e.Name.Space, nsV1)
		v2 := e.Name.Local == "HAVE" && strings.EqualFold(e.Name.Space, nsV2)
		if v1 || v2 {
			found = append(found, e)
		}
		return !v1 && !v2
	})
	return found
}

func (d *decoder) report(message *xmltree.Element) *Report {
	d.space = message.Name.Space
	r := &Report{Version: V1}
	read, name := d.hospital1, "Hospital"
	if message.Name.Local == "HAVE" {
		r.Version, read, name = V2, d.hospital2, "facility"
	}
	items := message.All(d.space, name)
	if len(items) > MaxHospitals {
		d.fault(nil, message.Line, fmt.Sprintf("the message has %d hospitals, more than %d: split it", len(items), MaxHospitals))
		return nil
	}
	if len(items) == 0 {
		d.fault(nil, message.Line, "the message has no "+name+" in its namespace: it says nothing")
	}
	for _, item := range items {
		r.Hospitals = append(r.Hospitals, read(item))
	}
	return r
}

// child follows a path of names in the message's namespace.
func (d *decoder) child(e *xmltree.Element, path ...string) *xmltree.Element {
	for _, name := range path {
		e = e.Child(d.space, name)
	}
	return e
}

// plain makes a text fit to be shown and kept: on one line, printable, and short.
func plain(text string) string {
	text = strings.Join(strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) || !unicode.IsPrint(r) }), " ")
	if runes := []rune(text); len(runes) > maxText {
		text = string(runes[:maxText-1]) + "…"
	}
	return text
}
