package document

import (
	"hash/maphash"
	"strconv"
	"strings"
)

var seed = maphash.MakeSeed()

// digest hashes a node from the hashes of those below it. Equal values have the
// same; equal decides where it matters.
func (t *tree) digest(i int) uint64 {
	n := &t.nodes[i]
	switch n.kind {
	case '{':
		sum := uint64(1) // in any order
		for c := i + 1; c < n.next; c = t.nodes[c].next {
			sum += maphash.Comparable(seed, memberDigest{t.nodes[c].name, t.nodes[c].hash})
		}
		return sum
	case '[':
		sum := uint64(2)
		for c := i + 1; c < n.next; c = t.nodes[c].next {
			sum = maphash.Comparable(seed, [2]uint64{sum, t.nodes[c].hash})
		}
		return sum
	case '"':
		return maphash.String(seed, "\""+unquote(t.raw(i)))
	case '0':
		return maphash.String(seed, sameNumber(string(t.raw(i))))
	}
	return maphash.Bytes(seed, t.raw(i))
}

type memberDigest struct {
	name string
	hash uint64
}

// equal compares values: members in any order, numbers by what they are worth.
func equal(a *tree, i int, b *tree, j int) bool {
	m, n := &a.nodes[i], &b.nodes[j]
	if m.kind != n.kind || m.hash != n.hash {
		return false
	}
	switch m.kind {
	case '"':
		return unquote(a.raw(i)) == unquote(b.raw(j))
	case '0':
		return sameNumber(string(a.raw(i))) == sameNumber(string(b.raw(j)))
	case '[':
		x, y := a.below(i), b.below(j)
		if len(x) != len(y) {
			return false
		}
		for k := range x {
			if !equal(a, x[k], b, y[k]) {
				return false
			}
		}
		return true
	case '{':
		x, y := a.named(i), b.named(j)
		if len(x) != len(y) {
			return false
		}
		for name, c := range x {
			if d, there := y[name]; !there || !equal(a, c, b, d) {
				return false
			}
		}
		return true
	}
	return true // true, false, null
}

// sameNumber writes a number in one form, exactly: a sign, the digits that
// count, and a power of ten. It does not round as a float64 would.
func sameNumber(text string) string {
	number, power, hasPower := strings.Cut(strings.ToLower(text), "e")
	exponent := int64(0)
	if hasPower {
		var err error
		if exponent, err = strconv.ParseInt(power, 10, 64); err != nil || exponent > 1<<40 || exponent < -1<<40 {
			return text // beyond any number: equal only to itself
		}
	}
	sign := ""
	if rest, negative := strings.CutPrefix(number, "-"); negative {
		sign, number = "-", rest
	}
	whole, fraction, _ := strings.Cut(number, ".")
	digits := strings.TrimLeft(whole+fraction, "0")
	exponent -= int64(len(fraction))
	short := strings.TrimRight(digits, "0")
	exponent += int64(len(digits) - len(short))
	if short == "" {
		return "0"
	}
	return sign + short + "e" + strconv.FormatInt(exponent, 10)
}
