package record

import (
	"errors"
	"fmt"
	"strings"
)

// alphabet are the digits of ids, in ASCII order so that ids sort as their
// numbers do. 0, 1, I, L, O, S and Z look alike, as do B, Q and G to 8, 0 and
// 6; vowels are left out so that no id spells a word. 23 is prime, which the check
// character needs.
const alphabet = "23456789CDFHJKMNPRTVWXY"

const (
	base     = len(alphabet)
	idDigits = 6

	// MaxNumber is the last number an id can be made of: 23 to the power of 6, less 1.
	MaxNumber = 23*23*23*23*23*23 - 1
)

// ErrID says that a text is no id, most often because it was misheard.
var ErrID = errors.New("not an id")

// FormatID writes the running number of an answer, 1 to MaxNumber, as an id:
// six digits in base 23 and a check character, "223-F7KD". It returns "" for
// any other number.
func FormatID(number int64) string {
	if number < 1 || number > MaxNumber {
		return ""
	}
	var digits [idDigits]int
	for i := idDigits - 1; i >= 0; i-- {
		digits[i] = int(number % int64(base))
		number /= int64(base)
	}
	var b strings.Builder
	for i, d := range digits {
		if i == 3 {
			b.WriteByte('-')
		}
		b.WriteByte(alphabet[d])
	}
	b.WriteByte(alphabet[checkDigit(digits)])
	return b.String()
}

// checkDigit makes the weighted sum of all seven digits a multiple of the base.
// The weights differ and the base is prime, so that one wrong character and any two
// exchanged ones are always found.
func checkDigit(digits [idDigits]int) int {
	sum := 0
	for i, d := range digits {
		sum += (i + 2) * d
	}
	return (base - sum%base) % base
}

// ParseID reads an id as a person writes it: capitals or not, with or without
// spaces and hyphens. An error wraps ErrID.
func ParseID(id string) (number int64, err error) {
	var digits []int
	for _, r := range strings.ToUpper(id) {
		if r == '-' || r == ' ' {
			continue
		}
		d := strings.IndexRune(alphabet, r)
		if d < 0 || len(digits) > idDigits {
			return 0, fmt.Errorf("%w: %.20q; ids are %d of the characters %s", ErrID, id, idDigits+1, alphabet)
		}
		digits = append(digits, d)
	}
	if len(digits) != idDigits+1 {
		return 0, fmt.Errorf("%w: %.20q has %d characters, ids have %d: ask for it again", ErrID, id, len(digits), idDigits+1)
	}
	if checkDigit([idDigits]int(digits[:idDigits])) != digits[idDigits] {
		return 0, fmt.Errorf("%w: a character of %.20q is wrong or two are exchanged: ask for it again", ErrID, id)
	}
	for _, d := range digits[:idDigits] {
		number = number*int64(base) + int64(d)
	}
	if number == 0 {
		return 0, fmt.Errorf("%w: %.20q is the number 0, which no answer has", ErrID, id)
	}
	return number, nil
}
