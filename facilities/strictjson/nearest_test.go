package strictjson_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"surgeonward/facilities/strictjson"
)

func TestNearest(t *testing.T) {
	known := []string{"capabilities", "surgeons", "pad", "lit", "fuel", "hours", "max_mass_kg", "runway_m", "name"}
	tests := []struct {
		name, source, word, want string
	}{
		{"letter lost", "edit distance 1", "capabilites", "capabilities"},
		{"two letters wrong", "edit distance 2", "capabulitees", "capabilities"},
		{"singular", "definition", "surgeon", "surgeons"},
		{"singular of -ies", "definition", "capability", "capabilities"},
		{"capitals", "definition", "Hours", "hours"},
		{"separator", "definition", "maxMassKg", "max_mass_kg"},
		{"unit left off", "definition: first letters", "max_mass", "max_mass_kg"},
		{"neighbours swapped in a short word", "definition", "lti", "lit"},
		{"short words are near to everything", "definition: no letter may be wrong in 3", "alt", ""},
		{"city is not lit", "edit distance 2 in a short word", "city", ""},
		{"one wrong in five", "edit distance 1", "hourz", "hours"},
		{"two wrong in five", "edit distance 2", "haurz", ""},
		{"nothing alike", "definition", "telephone", ""},
		{"empty", "definition", "", ""},
		{"too long to compare", "definition", strings.Repeat("capabilities", 10), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, ok := strictjson.Nearest(tt.word, known)
			assert.Equal(t, tt.want, got, tt.source)
			assert.Equal(t, tt.want != "", ok)
		})
	}
}

func TestNearestIgnoresOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		known := rapid.SliceOfN(rapid.StringMatching(`[a-d_]{1,8}`), 1, 8).Draw(t, "known")
		word := rapid.StringMatching(`[a-d_]{1,8}`).Draw(t, "word")
		got, ok := strictjson.Nearest(word, known)
		again, okAgain := strictjson.Nearest(word, rapid.Permutation(known).Draw(t, "shuffled"))
		if got != again || ok != okAgain {
			t.Fatalf("%q among %q: %q, shuffled %q", word, known, got, again)
		}
		if ok && !slices.Contains(known, got) {
			t.Fatalf("%q is none of %q", got, known)
		}
		if self, ok := strictjson.Nearest(known[0], known); !ok || !strings.EqualFold(fold(self), fold(known[0])) {
			// a word is nearest to itself or to one that reads the same
			t.Fatalf("%q is nearest to %q", known[0], self)
		}
	})
}

func fold(s string) string { return strings.ReplaceAll(s, "_", "") }
