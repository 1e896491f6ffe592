package strictjson

import (
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// maxWord is the longest word that is compared, in characters: no known word comes
// near it, and the comparison takes the product of both lengths.
const maxWord = 64

// Nearest returns the known word that word is most likely a slip of the pen for, and
// false when none is near. Near means: equal but for capitals, separators or a
// plural; the first letters of a longer word; two neighbouring letters swapped; or
// few letters wrong, none in words up to 3 letters, 1 up to 5 and 2 in longer ones.
// The thresholds are an assumption. Of equally near words the first in alphabetical
// order is taken, so that the answer does not depend on the order of known.
func Nearest(word string, known []string) (string, bool) {
	if n := utf8.RuneCountInString(word); n == 0 || n > maxWord {
		return "", false
	}
	folded := fold(word)
	best, bestScore := "", -1
	for _, k := range known {
		score := slip(folded, fold(k))
		if score < 0 || k == "" {
			continue
		}
		if bestScore < 0 || score < bestScore || (score == bestScore && k < best) {
			best, bestScore = k, score
		}
	}
	return best, bestScore >= 0
}

// slip returns how far apart two folded words are, or -1 when they are not near.
func slip(a, b string) int {
	if a == b || singular(a) == singular(b) {
		return 0
	}
	if swapped(a, b) {
		return 1
	}
	la, lb := utf8.RuneCountInString(a), utf8.RuneCountInString(b)
	allowed := 2
	switch short := min(la, lb); {
	case short <= 3:
		return -1
	case short <= 5:
		allowed = 1
	}
	if max(la, lb)-min(la, lb) <= allowed {
		if d := levenshtein.ComputeDistance(a, b); d <= allowed {
			return d
		}
	}
	if la >= 5 && strings.HasPrefix(b, a) {
		return 3
	}
	return -1
}

// fold removes what people vary without meaning anything by it.
func fold(s string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '_', '-', ' ', '.', ':':
			return -1
		}
		return r
	}, strings.ToLower(s))
}

func singular(s string) string {
	if stem, ok := strings.CutSuffix(s, "ies"); ok && len(stem) > 1 {
		return stem + "y"
	}
	if stem, ok := strings.CutSuffix(s, "s"); ok && len(stem) > 1 {
		return stem
	}
	return s
}

// swapped reports whether a becomes b by swapping two neighbouring bytes, the slip
// that an edit distance counts as two.
func swapped(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range len(a) - 1 {
		if a[i] != b[i] {
			return a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
		}
	}
	return false
}
