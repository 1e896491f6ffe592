package document

import "bytes"

// writer writes new values into an old text.
type writer struct {
	style
	out []byte
}

// column is how many bytes stand in the line that is being written.
func (w *writer) column() int { return len(w.out) - bytes.LastIndexByte(w.out, '\n') - 1 }

// breaks says whether a new value is broken into lines.
type breaks int

const (
	asFits breaks = iota // where it is too long for one
	never
	always
)

// fresh writes a value of which the old text has nothing. The line that it
// begins in has the indentation.
func (w *writer) fresh(t *tree, i int, indent string, b breaks) {
	switch {
	case !container(t, i), w.newline == "", b == never, b == asFits && w.inline && w.fits(t, i):
		w.flat(t, i)
	default:
		w.broken(t, i, indent)
	}
}

func container(t *tree, i int) bool { return t.nodes[i].next > i+1 }

// fits reports whether a value has room in the rest of the line, with a comma
// after it.
func (w *writer) fits(t *tree, i int) bool {
	room := width - w.column() - 1
	if room < 0 || t.nodes[i].next-i > room { // a byte at least for each value
		return false
	}
	probe := writer{style: w.style}
	probe.flat(t, i)
	return len(probe.out) <= room
}

func (w *writer) flat(t *tree, i int) {
	n := &t.nodes[i]
	switch {
	case n.kind == '{' && container(t, i):
		w.out = append(append(w.out, '{'), w.pad...)
		for k, c := range t.below(i) {
			if k > 0 {
				w.out = append(w.out, w.comma...)
			}
			w.label(t, c)
			w.flat(t, c)
		}
		w.out = append(append(w.out, w.pad...), '}')
	case n.kind == '[' && container(t, i):
		w.out = append(w.out, '[')
		for k, c := range t.below(i) {
			if k > 0 {
				w.out = append(w.out, w.comma...)
			}
			w.flat(t, c)
		}
		w.out = append(w.out, ']')
	case n.kind == '{':
		w.out = append(w.out, "{}"...)
	case n.kind == '[':
		w.out = append(w.out, "[]"...)
	default:
		w.out = append(w.out, t.raw(i)...)
	}
}

// label writes a member's name and colon; nothing for a value of an array.
func (w *writer) label(t *tree, i int) {
	if t.nodes[i].from != t.nodes[i].start {
		w.out = append(append(w.out, t.rawName(i)...), w.colon...)
	}
}

func (w *writer) broken(t *tree, i int, indent string) {
	deeper := indent + w.unit
	fill := w.fill && t.nodes[i].kind == '['
	w.out = append(w.out, t.nodes[i].kind)
	for k, c := range t.below(i) {
		switch {
		case k == 0:
			w.line(deeper)
		case fill && w.follows(t, c):
			w.out = append(w.out, w.comma...)
		default:
			w.out = append(w.out, ',')
			w.line(deeper)
		}
		w.label(t, c)
		w.fresh(t, c, deeper, asFits)
	}
	w.line(indent)
	w.out = append(w.out, t.nodes[i].kind+2) // '}' after '{', ']' after '['
}

// follows reports whether a value has room on the line of the one before.
func (w *writer) follows(t *tree, i int) bool {
	probe := writer{style: w.style, out: make([]byte, w.column()+len(w.comma))}
	if probe.column() >= width {
		return false
	}
	return probe.fits(t, i)
}

func (w *writer) line(indent string) {
	w.out = append(append(w.out, w.newline...), indent...)
}
