package table

import (
	"bytes"
	"encoding/json"
)

// patch is a JSON merge patch (RFC 7396) whose members keep the order of the columns.
type patch struct {
	names  []string
	values map[string]any // a *patch, or a value; nil takes the member away
}

func newPatch() *patch { return &patch{values: map[string]any{}} }

// set puts a value at a path of member names.
func (p *patch) set(path []string, value any) {
	name := path[0]
	if _, there := p.values[name]; !there {
		p.names = append(p.names, name)
	}
	if len(path) == 1 {
		p.values[name] = value
		return
	}
	below, ok := p.values[name].(*patch)
	if !ok {
		below = newPatch()
		p.values[name] = below
	}
	below.set(path[1:], value)
}

// has reports whether there is anything at a path.
func (p *patch) has(path []string) bool {
	value, there := p.values[path[0]]
	if !there || len(path) == 1 {
		return there
	}
	below, ok := value.(*patch)
	return ok && below.has(path[1:])
}

// text returns the patch as JSON. It does not escape what only web pages need escaped,
// so that names stay readable.
func (p *patch) text() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, name := range p.names {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := encode(&b, name); err != nil {
			return nil, err
		}
		b.WriteByte(':')
		below, ok := p.values[name].(*patch)
		if !ok {
			if err := encode(&b, p.values[name]); err != nil {
				return nil, err
			}
			continue
		}
		text, err := below.text()
		if err != nil {
			return nil, err
		}
		b.Write(text)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

func encode(b *bytes.Buffer, value any) error {
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	err := e.Encode(value)
	b.Truncate(b.Len() - 1) // the line end that an encoder adds
	return err
}
