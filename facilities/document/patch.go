package document

// MergePatch returns a target with a JSON merge patch applied (RFC 7396). What
// the patch does not change keeps its text. An error wraps ErrSyntax where one of
// them is no JSON text.
func MergePatch(target, patch []byte) ([]byte, error) {
	for _, text := range [][]byte{target, patch} {
		if err := valid(text); err != nil {
			return nil, err
		}
	}
	old := grow(target, 0)
	merged := grow(merge(nil, old, 0, grow(patch, 0), 0), 0)
	w := writer{style: styleOf(target), out: append([]byte{}, target[:old.nodes[0].start]...)}
	w.rewrite(old, 0, merged, 0, asFits)
	return append(w.out, target[old.nodes[0].end:]...), nil
}

// merge is the function MergePatch of RFC 7396 section 2. A target that is not
// there is none.
func merge(out []byte, target *tree, i int, patch *tree, j int) []byte {
	if patch.nodes[j].kind != '{' {
		return append(out, patch.raw(j)...)
	}
	had, said := map[string]int{}, patch.named(j)
	if i != none {
		had = target.named(i)
	}
	out = append(out, '{')
	begin := len(out)
	name := func(t *tree, c int) {
		if len(out) > begin {
			out = append(out, ',')
		}
		out = append(append(out, t.rawName(c)...), ':')
	}
	if i != none && target.nodes[i].kind == '{' {
		for _, c := range target.below(i) {
			d, isSaid := said[target.nodes[c].name]
			switch {
			case !isSaid:
				name(target, c)
				out = append(out, target.raw(c)...)
			case patch.nodes[d].kind != 'n':
				name(target, c)
				out = merge(out, target, c, patch, d)
			}
		}
	}
	for _, d := range patch.below(j) {
		if _, there := had[patch.nodes[d].name]; !there && patch.nodes[d].kind != 'n' {
			name(patch, d)
			out = merge(out, target, none, patch, d)
		}
	}
	return append(out, '}')
}
