package document

// rewrite writes a new value in the place of an old one, with the old text of
// all that stays the same.
func (w *writer) rewrite(old *tree, i int, t *tree, j int, b breaks) {
	m, n := &old.nodes[i], &t.nodes[j]
	var items []item
	switch {
	case m.kind == n.kind && m.kind == '{' && container(old, i):
		items = members(old, i, t, j)
	case m.kind == n.kind && m.kind == '[' && container(old, i):
		items = elements(old, i, t, j)
	case equal(old, i, t, j):
		w.out = append(w.out, old.raw(i)...)
		return
	default:
		if isFlat(old, i) {
			b = never
		}
		w.fresh(t, j, string(indentAt(old.text, m.start)), b)
		return
	}
	w.items(old, i, items, func(it item, g *gaps) {
		if it.old == none {
			w.label(t, it.new)
			w.fresh(t, it.new, g.indent, g.breaks)
			return
		}
		w.out = append(w.out, old.text[old.nodes[it.old].from:old.nodes[it.old].start]...)
		w.rewrite(old, it.old, t, it.new, g.breaks)
	})
}

// item is a value that an array or object has after an edit: one that it had
// (old) as it is to be (new), or one that is only new.
type item struct{ old, new int }

const none = -1

// members keeps the order of the old members and puts new ones last.
func members(old *tree, i int, t *tree, j int) []item {
	var out []item
	want, had := t.named(j), old.named(i)
	for _, c := range old.below(i) {
		if d, there := want[old.nodes[c].name]; there {
			out = append(out, item{c, d})
		}
	}
	for _, d := range t.below(j) {
		if _, there := had[t.nodes[d].name]; !there {
			out = append(out, item{none, d})
		}
	}
	return out
}

// elements pairs the values of two arrays: those that are equal at both ends,
// and between them one by one.
func elements(old *tree, i int, t *tree, j int) []item {
	was, is := old.below(i), t.below(j)
	head := 0
	for head < len(was) && head < len(is) && equal(old, was[head], t, is[head]) {
		head++
	}
	tail := 0
	for tail < len(was)-head && tail < len(is)-head && equal(old, was[len(was)-1-tail], t, is[len(is)-1-tail]) {
		tail++
	}
	var out []item
	for k := range is {
		switch {
		case k < len(is)-tail && k < len(was)-tail:
			out = append(out, item{was[k], is[k]})
		case k >= len(is)-tail:
			out = append(out, item{was[k-len(is)+len(was)], is[k]})
		default:
			out = append(out, item{none, is[k]})
		}
	}
	return out
}

// items writes an array or object, which must have had a value, with the gaps
// that its values had.
func (w *writer) items(old *tree, i int, items []item, write func(it item, g *gaps)) {
	n := &old.nodes[i]
	if len(items) == 0 {
		w.out = append(w.out, n.kind, n.kind+2)
		return
	}
	was := old.below(i)
	g := gapsOf(old, i, was, w.style)
	w.out = append(w.out, g.first...)
	k := 0 // old values up to that of the item
	for at, it := range items {
		if it.old != none {
			for was[k] != it.old {
				k++
			}
		}
		switch {
		case at == 0:
		case it.old == none || k == 0:
			w.out = append(w.out, g.between...)
		default:
			w.out = append(w.out, old.text[old.nodes[was[k-1]].end:old.nodes[it.old].from]...)
		}
		write(it, &g)
	}
	w.out = append(w.out, g.last...)
}

// gaps are what stands around and between the values of an array or object.
type gaps struct {
	first, between, last []byte
	indent               string // of a new value's line
	breaks               breaks // of new values
}

func gapsOf(old *tree, i int, was []int, s style) gaps {
	n, final := &old.nodes[i], was[len(was)-1]
	g := gaps{
		first:  old.text[n.start:old.nodes[was[0]].from],
		last:   old.text[old.nodes[final].end:n.end],
		indent: string(indentAt(old.text, old.nodes[final].from)),
	}
	switch {
	case len(was) > 1:
		g.between = old.text[old.nodes[was[len(was)-2]].end:old.nodes[final].from]
	case isBroken(g.first):
		g.between = append([]byte(","), g.first[1:]...)
	default:
		g.between = []byte(s.comma)
	}
	switch { // the elements of an array look alike
	case !isBroken(old.raw(i)), n.kind == '[' && isFlat(old, final):
		g.breaks = never
	case n.kind == '[' && isBroken(old.raw(final)):
		g.breaks = always
	}
	return g
}

// isFlat reports whether a value is an array or object, not an empty one, on
// one line.
func isFlat(t *tree, i int) bool {
	n := &t.nodes[i]
	return (n.kind == '{' || n.kind == '[') && n.end-n.start > 2 && !isBroken(t.raw(i))
}
