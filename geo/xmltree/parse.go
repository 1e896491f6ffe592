package xmltree

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Limits bound the work a document can cause.
type Limits struct {
	Bytes    int // length of the document
	Depth    int // elements inside one another
	Elements int // elements and attributes together
}

// Error says why a document was refused, without quoting it.
type Error struct {
	Line   int // from 1; 0: the document as a whole
	Reason string
}

// Error returns the line and the reason in one sentence.
func (e *Error) Error() string {
	if e.Line == 0 {
		return e.Reason
	}
	return fmt.Sprintf("line %d: %s", e.Line, e.Reason)
}

// Parse reads a document and returns its root element, or an [*Error].
func Parse(data []byte, limits Limits) (*Element, error) {
	if len(data) > limits.Bytes {
		return nil, &Error{Reason: fmt.Sprintf("the document has %d bytes; at most %d are read", len(data), limits.Bytes)}
	}
	p := parser{decoder: xml.NewDecoder(bytes.NewReader(data)), limits: limits}
	for {
		token, err := p.decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err == nil {
			err = p.token(token)
		} else {
			err = p.refuse("this is not well-formed XML in UTF-8")
		}
		if err != nil {
			return nil, err
		}
	}
	if p.root == nil {
		return nil, &Error{Reason: "the document holds no element"}
	}
	return p.root, nil
}

// parser builds the tree; the decoder checks that elements are closed in order.
type parser struct {
	decoder *xml.Decoder
	limits  Limits
	root    *Element
	open    []openElement
	count   int
}

// openElement gathers the text of an element until it is closed.
type openElement struct {
	*Element
	text []byte
}

func (p *parser) refuse(reason string) *Error {
	line, _ := p.decoder.InputPos()
	return &Error{Line: line, Reason: reason}
}

func (p *parser) token(token xml.Token) error {
	switch t := token.(type) {
	case xml.StartElement:
		return p.start(t)
	case xml.EndElement:
		last := p.open[len(p.open)-1]
		last.Text = strings.TrimSpace(string(last.text))
		p.open = p.open[:len(p.open)-1]
	case xml.CharData:
		if len(p.open) > 0 {
			last := &p.open[len(p.open)-1]
			last.text = append(last.text, t...)
		} else if len(bytes.TrimSpace(bytes.TrimPrefix(t, []byte("\ufeff")))) > 0 {
			return p.refuse("text stands outside of the root element")
		}
	case xml.Directive:
		return p.refuse("a document type declaration is not accepted: send the document without <!DOCTYPE>")
	}
	return nil
}

func (p *parser) start(t xml.StartElement) error {
	p.count += 1 + len(t.Attr)
	switch {
	case p.count > p.limits.Elements:
		return p.refuse(fmt.Sprintf("the document has more than %d elements and attributes: split it", p.limits.Elements))
	case len(p.open) >= p.limits.Depth:
		return p.refuse(fmt.Sprintf("elements are nested more than %d deep", p.limits.Depth))
	case len(p.open) == 0 && p.root != nil:
		return p.refuse("the document has a second root element")
	}
	line, _ := p.decoder.InputPos()
	e := &Element{Name: t.Name, Attrs: t.Attr, Line: line}
	if len(p.open) == 0 {
		p.root = e
	} else {
		parent := p.open[len(p.open)-1]
		parent.Children = append(parent.Children, e)
	}
	p.open = append(p.open, openElement{Element: e})
	return nil
}
