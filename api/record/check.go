package record

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"surgeonward/facilities/strictjson"
	"surgeonward/geo/position"
	"surgeonward/geo/weather"
)

// The limits of Check.
const (
	MaxText   = 200 // runes in a text that is no weather report
	MaxWords  = 2   // words in a row; a name of an asset has seldom more
	MaxDigits = 6   // digits in a name; a number of a person or a telephone has more
)

// FreeTextError lists every place in a question that could hold words about
// somebody. It does not repeat the words where the question is JSON.
type FreeTextError struct{ Faults []strictjson.Fault }

func (e *FreeTextError) Error() string {
	parts := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		parts[i] = f.Pointer + ": " + f.Detail
	}
	return "the question is not kept, since it could hold words about somebody: " + strings.Join(parts, "; ")
}

// Check refuses a question, as JSON text of up to MaxRequest bytes, in which a
// patient's name or story could stand. The error is a *FreeTextError. It allows
//
//   - a position as text, and a time, that can be read as such;
//   - METAR, SPECI and TAF texts that can be read, with at most MaxWords groups that
//     cannot and no more words in a row in their remarks;
//   - any other text of up to MaxText printing characters with at most MaxWords words
//     (between spaces, with a letter and without a digit), and in the name and id of an
//     asset that the question adds no more than MaxDigits digits. "Rescue helicopter 3"
//     has two words.
//
// Members whose name begins with x_ are refused: nobody reads them, so that
// anything could stand there. It is a guard against what slips in, not against
// somebody who wants to write a name: two words can be one. It goes by the question
// alone; that its members are those of the interface is for the interface to check.
func Check(request []byte) error {
	value, faults := strictjson.Parse(request, strictjson.Limits{Bytes: MaxRequest})
	c := checker{faults: faults}
	c.value("", "", value)
	if len(c.faults) > 0 {
		return &FreeTextError{strictjson.Sort(c.faults)}
	}
	return nil
}

type checker struct{ faults []strictjson.Fault }

func (c *checker) fault(pointer, format string, args ...any) {
	c.faults = append(c.faults, strictjson.Fault{Pointer: pointer, Detail: fmt.Sprintf(format, args...)})
}

// value checks what stands in a member; for the items of a list that is the
// list's member.
func (c *checker) value(pointer, member string, value any) {
	switch v := value.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			at := pointer + strictjson.Pointer(name)
			if strings.HasPrefix(name, "x_") {
				c.fault(at, "members that begin with x_ are not kept: leave it out")
				continue
			}
			if why := longText(name); why != "" {
				c.fault(at, "the member's name %s", why)
				continue
			}
			c.value(at, name, v[name])
		}
	case []any:
		for i, item := range v {
			c.value(pointer+"/"+strconv.Itoa(i), member, item)
		}
	case string:
		if why := c.text(pointer, member, v); why != "" {
			c.fault(pointer, "%s", why)
		}
	}
}

// text says what is wrong with a text; empty: nothing.
func (c *checker) text(pointer, member, text string) string {
	switch member {
	case "reports":
		return badReport(text)
	case "position_text":
		switch kept, err := position.Anonymous(text); {
		case err != nil:
			return "is no position that can be read"
		case kept != text:
			return "is a message that can name a person's telephone: keep what position.Anonymous makes of it"
		}
		return ""
	}
	if _, err := time.Parse(time.RFC3339, text); err == nil {
		return ""
	}
	if why := longText(text); why != "" {
		return why
	}
	if strings.HasPrefix(pointer, "/assets/add/") && (member == "name" || member == "id") && digits(text) > MaxDigits {
		return fmt.Sprintf("has more than %d digits, as the number of a person has: shorten it", MaxDigits)
	}
	return ""
}

// longText says why a text could be a sentence; empty: it could not.
func longText(text string) string {
	if n := utf8.RuneCountInString(text); n > MaxText {
		return fmt.Sprintf("has %d characters, at most %d are kept: shorten it", n, MaxText)
	}
	if strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) && !unicode.IsSpace(r) }) {
		return "has a character that does not print: remove it"
	}
	n := 0
	for _, word := range strings.Fields(text) {
		if isWord(word, 1) {
			n++
		}
	}
	if n > MaxWords {
		return fmt.Sprintf("has %d words, at most %d are kept: use a short name", n, MaxWords)
	}
	return ""
}

// isWord reports whether a group has at least so many letters and no digit.
func isWord(group string, letters int) bool {
	n := 0
	for _, r := range group {
		switch {
		case unicode.IsDigit(r):
			return false
		case unicode.IsLetter(r):
			n++
		}
	}
	return n >= letters
}

func digits(text string) int {
	n := 0
	for _, r := range text {
		if unicode.IsDigit(r) {
			n++
		}
	}
	return n
}

// reference gives a report's day of the month a month to be in, whatever the
// day: nothing here depends on which.
var reference = time.Date(2001, time.January, 16, 0, 0, 0, 0, time.UTC)

// badReport says why a text is no weather report; empty: it is one.
func badReport(text string) string {
	report, forecast, err := weather.Parse(text, reference)
	var unread []string
	var remarks string
	switch {
	case err != nil:
		return "is no weather report that can be read"
	case report != nil:
		unread, remarks = report.Unread, report.Remarks
	default:
		unread, remarks = forecast.Unread, forecast.Remarks
	}
	if len(unread) > MaxWords {
		return fmt.Sprintf("has %d groups that are no weather, at most %d are kept: send the report as it came", len(unread), MaxWords)
	}
	// the abbreviations of remarks are mostly shorter: "CB DSNT W MOV E"
	const letters = 4
	n := 0
	for _, group := range strings.Fields(remarks) {
		if n++; !isWord(group, letters) {
			n = 0
		}
		if n > MaxWords {
			return "has words in its remarks: leave out what follows RMK"
		}
	}
	return ""
}
