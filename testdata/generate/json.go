package main

import (
	"bytes"
	"encoding/json"
	"strings"
)

// object is a JSON object whose members keep their order, so that the files
// read in the order a person would write them.
type object []member

type member struct {
	name  string
	value any
}

// MarshalJSON writes the members in order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		name, err := json.Marshal(m.name)
		if err != nil {
			return nil, err
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// width is the column at which a value is broken over several lines.
const width = 110

// layOut writes a value on one line where it fits and one line per member
// where it does not; long lists of positions or words fill their lines.
func layOut(v any) ([]byte, error) {
	raw, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	var b strings.Builder
	if err := write(&b, raw, 0, 0); err != nil {
		return nil, err
	}
	b.WriteByte('\n')
	return []byte(b.String()), nil
}

func write(b *strings.Builder, raw json.RawMessage, depth, used int) error {
	if 2*depth+used+len(raw) <= width || raw[0] != '{' && raw[0] != '[' {
		b.WriteString(spaced(raw))
		return nil
	}
	names, parts, err := split(raw)
	if err != nil {
		return err
	}
	indent := "\n" + strings.Repeat("  ", depth+1)
	b.WriteByte(raw[0])
	fills := raw[0] == '[' && parts[0][0] != '{' && !bytes.HasPrefix(parts[0], []byte("[["))
	column := width + 1
	for i, part := range parts {
		if i > 0 {
			b.WriteByte(',')
		}
		// Positions and words share lines; everything else has its own.
		if fills && column+len(part)+3 <= width {
			b.WriteByte(' ')
			column += len(part) + 3
		} else {
			b.WriteString(indent)
			column = 2*(depth+1) + len(part) + 1
		}
		label := ""
		if names != nil {
			label = string(names[i]) + ": "
		}
		b.WriteString(label)
		if err := write(b, part, depth+1, len(label)); err != nil {
			return err
		}
	}
	b.WriteString("\n" + strings.Repeat("  ", depth))
	b.WriteByte(raw[0] + 2) // '{' and '}', '[' and ']' are two apart in ASCII
	return nil
}

// split takes an object or an array apart, one level deep.
func split(raw json.RawMessage) (names, parts []json.RawMessage, err error) {
	d := json.NewDecoder(bytes.NewReader(raw))
	if _, err := d.Token(); err != nil {
		return nil, nil, err
	}
	for d.More() {
		if raw[0] == '{' {
			name, err := d.Token()
			if err != nil {
				return nil, nil, err
			}
			quoted, err := json.Marshal(name)
			if err != nil {
				return nil, nil, err
			}
			names = append(names, quoted)
		}
		var part json.RawMessage
		if err := d.Decode(&part); err != nil {
			return nil, nil, err
		}
		parts = append(parts, part)
	}
	return names, parts, nil
}

// spaced puts a blank after each colon and comma of a one-line value.
func spaced(raw json.RawMessage) string {
	var b strings.Builder
	inText := false
	for i, c := range raw {
		b.WriteByte(c)
		if c == '"' && raw[max(i-1, 0)] != '\\' {
			inText = !inText
		}
		if !inText && (c == ':' || c == ',') {
			b.WriteByte(' ')
		}
	}
	return b.String()
}
