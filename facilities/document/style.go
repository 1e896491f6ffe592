package document

import "bytes"

// width is the longest line that new text is fitted into, in bytes, where the
// file is broken into lines.
const width = 120

// style is the manner in which a text is written.
type style struct {
	newline string // "\n", "\r\n"; empty: all on one line
	unit    string // of indentation
	colon   string // between a name and its value
	comma   string // between values on one line
	pad     string // inside the braces of an object on one line
	inline  bool   // short arrays and objects are on one line
	fill    bool   // an array that is broken has several values on a line
}

// sample is how much of a text the style is read from, in bytes.
const sample = 64 << 10

// styleOf reads the style of a valid JSON text, from its beginning.
func styleOf(text []byte) style {
	r := styleReader{text: text[:min(len(text), sample)]}
	r.read()
	s := style{newline: "\n", unit: "  ", colon: ": ", comma: ", ", inline: r.inline || !r.spread, fill: r.fill}
	if !r.broken && (r.colon != nil || r.comma != nil) { // nothing is broken, and there is something
		s.newline = ""
	}
	if r.crlf {
		s.newline = "\r\n"
	}
	for _, found := range []struct {
		to   *string
		text []byte
	}{{&s.unit, r.unit}, {&s.colon, r.colon}, {&s.comma, r.comma}, {&s.pad, r.pad}} {
		if found.text != nil {
			*found.to = string(found.text)
		}
	}
	switch { // one tells of the other
	case r.comma == nil && s.colon == ":":
		s.comma = ","
	case r.colon == nil && s.comma == ",":
		s.colon = ":"
	}
	return s
}

// styleReader takes the first that it finds of each.
type styleReader struct {
	text                    []byte
	unit, colon, comma, pad []byte
	broken, crlf            bool // there is a line's end between values
	inline                  bool // an array or object, not empty, is on one line
	spread                  bool // one within another has no other in it, and is not
	fill                    bool
	open                    []opened
}

// opened is an array or object that is being read.
type opened struct {
	from   int  // after its bracket
	broken bool // its first value is on a line of its own
	filled bool // an array, and broken: a value follows another on its line
	outer  bool // it has others in it
}

func (r *styleReader) read() {
	for at := 0; at < len(r.text); {
		switch c := r.text[at]; c {
		case '{', '[':
			at = r.begin(at)
		case '}', ']':
			at = r.end(at)
		case ',':
			at = r.next(at)
		case '"':
			at = r.quoted(at)
		default:
			at++
		}
	}
}

func (r *styleReader) begin(at int) int {
	gap := r.gap(at + 1)
	if isBroken(gap) {
		r.note(gap)
		if r.unit == nil {
			if unit, ok := bytes.CutPrefix(lastLine(gap), indentAt(r.text, at)); ok && len(unit) > 0 {
				r.unit = unit
			}
		}
	}
	if n := len(r.open); n > 0 {
		r.open[n-1].outer = true
	}
	r.open = append(r.open, opened{from: at + 1, broken: isBroken(gap)})
	return at + 1 + len(gap)
}

func (r *styleReader) end(at int) int {
	n := len(r.open)
	if n == 0 {
		return at + 1
	}
	o := r.open[n-1]
	r.open = r.open[:n-1]
	switch within := r.text[o.from:at]; {
	case len(bytes.TrimSpace(within)) == 0:
	case !isBroken(within):
		r.inline = true
		if r.text[at] == '}' && r.pad == nil {
			r.pad = r.gap(o.from)
		}
	default:
		r.spread = r.spread || o.broken && !o.outer && n > 1
		r.fill = r.fill || o.filled
	}
	return at + 1
}

func (r *styleReader) next(at int) int {
	gap := r.gap(at + 1)
	if isBroken(gap) {
		r.note(gap)
	} else if r.comma == nil {
		r.comma = append([]byte(","), gap...)
	}
	if n := len(r.open); n > 0 {
		o := &r.open[n-1]
		o.filled = o.filled || o.broken && !isBroken(gap) && r.text[o.from-1] == '['
	}
	return at + 1 + len(gap)
}

// quoted passes a string, and the colon after it where it is a name.
func (r *styleReader) quoted(at int) int {
	end := at + 1
	for end < len(r.text) && r.text[end] != '"' {
		if r.text[end] == '\\' {
			end++
		}
		end++
	}
	end = min(end+1, len(r.text))
	before := r.gap(end)
	if colon := end + len(before); colon < len(r.text) && r.text[colon] == ':' {
		after := r.gap(colon + 1)
		if r.colon == nil && !isBroken(before) && !isBroken(after) {
			r.colon = r.text[end : colon+1+len(after)]
		}
		return colon + 1 + len(after)
	}
	return end
}

func (r *styleReader) note(gap []byte) {
	r.crlf = r.crlf || !r.broken && bytes.Contains(gap, []byte("\r\n"))
	r.broken = true
}

func (r *styleReader) gap(at int) []byte {
	at = min(at, len(r.text))
	return r.text[at:space(r.text, at)]
}

func isBroken(gap []byte) bool { return bytes.IndexByte(gap, '\n') >= 0 }

func lastLine(gap []byte) []byte { return gap[bytes.LastIndexByte(gap, '\n')+1:] }

// indentAt returns the white space at the beginning of the line that a byte is
// in.
func indentAt(text []byte, at int) []byte {
	from := bytes.LastIndexByte(text[:at], '\n') + 1
	end := from
	for end < at && (text[end] == ' ' || text[end] == '\t') {
		end++
	}
	return text[from:end]
}
