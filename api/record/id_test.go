package record_test

import (
	"fmt"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/api/record"
)

// idAlphabet is the characters of ids by their definition: digits and capitals
// without those that are easily misread, and without vowels.
var idAlphabet = strings.Map(func(r rune) rune {
	if strings.ContainsRune("01AEIOULSZBQG", r) {
		return -1
	}
	return r
}, "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ")

func TestFormatID(t *testing.T) {
	tests := []struct {
		name   string
		number int64
		want   string
		source string
	}{
		// digits 0 0 0 0 0 1 with the weights 2 to 7: sum 7, check 16
		{"first", 1, "222-223P", "arithmetic: 23-7 = 16, and the 16th of the alphabet from 0 is P"},
		{"tenth", 10, "222-22FY", "arithmetic: 7*10 = 70 = 3*23+1, check 22, the last"},
		{"carry", 23, "222-232R", "arithmetic: weight 6, check 17"},
		{"last", record.MaxNumber, "YYY-YYY6", "arithmetic: 22*(2+3+4+5+6+7) = 594 = 25*23+19, check 4"},
		{"zero", 0, "", "definition"},
		{"negative", -1, "", "definition"},
		{"past the last", record.MaxNumber + 1, "", "definition"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			assert.Equal(t, test.want, record.FormatID(test.number), test.source)
		})
	}
}

func TestIDProperties(t *testing.T) {
	number := rapid.Int64Range(1, record.MaxNumber)
	rapid.Check(t, func(t *rapid.T) {
		a, b := number.Draw(t, "a"), number.Draw(t, "b")
		idA, idB := record.FormatID(a), record.FormatID(b)
		require.Len(t, idA, 8)
		require.Equal(t, a < b, idA < idB, "ids sort as their numbers")
		for _, spoken := range []string{idA, strings.ToLower(idA), strings.ReplaceAll(idA, "-", ""), " " + strings.Join(strings.Split(idA, ""), " ")} {
			got, err := record.ParseID(spoken)
			require.NoError(t, err)
			require.Equal(t, a, got)
		}
	})
}

// Every single wrong character and every two exchanged characters of an id are
// found, by trying them all.
func TestMisheardIDs(t *testing.T) {
	for _, number := range []int64{1, 2, 22, 23, 12345, 9_999_999, 148_035_000, record.MaxNumber} {
		id := strings.ReplaceAll(record.FormatID(number), "-", "")
		refused := func(heard string) {
			_, err := record.ParseID(heard)
			require.ErrorIs(t, err, record.ErrID, "%s heard as %s", id, heard)
		}
		for i := range id {
			for _, c := range idAlphabet {
				if byte(c) != id[i] {
					refused(id[:i] + string(c) + id[i+1:])
				}
			}
			for j := range i {
				if id[i] != id[j] {
					swapped := []byte(id)
					swapped[i], swapped[j] = swapped[j], swapped[i]
					refused(string(swapped))
				}
			}
			refused(id[:i] + id[i+1:])
			refused(id[:i] + id[i:i+1] + id[i:])
		}
	}
}

func TestNoIDs(t *testing.T) {
	for _, text := range []string{"", "-", "222-2222", "0OI-1LSZ", "222-223", "222-223PP", "222_223P", strings.Repeat("2", 1000), "222-223\xff", "２２２２２３P"} {
		_, err := record.ParseID(text)
		require.ErrorIs(t, err, record.ErrID, "%.20q", text)
	}
	sorted := strings.Split(idAlphabet, "")
	assert.True(t, sort.StringsAreSorted(sorted))
	assert.Len(t, sorted, 23, "a prime")
}

func FuzzParseID(f *testing.F) {
	for _, text := range []string{"222-223P", "222 223p", "", "YYY-YYY6", "222-2222", "ſſſſſſſ", "ı", "\x00"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		number, err := record.ParseID(text)
		if err != nil {
			return
		}
		id := record.FormatID(number)
		again, err := record.ParseID(id)
		if err != nil || again != number {
			t.Fatalf("%q is %d, written %q, read %d (%v)", text, number, id, again, err)
		}
	})
}

func ExampleFormatID() {
	fmt.Println(record.FormatID(4711))
	number, err := record.ParseID("222-cxx3")
	fmt.Println(number, err)
	// Output:
	// 222-CWV8
	// 0 not an id: a character of "222-cxx3" is wrong or two are exchanged: ask for it again
}
