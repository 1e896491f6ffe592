package position

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// maxMessage bounds a message in bytes; the longest real ones have some 4 kB.
const maxMessage = 64 << 10

// IsMessage reports whether the format is that of a message between machines. A
// message can hold more than the position: whom it is about, and the telephone it
// comes from. Parse drops all that; so must whoever keeps or shows the text itself.
// See [Anonymous].
func (f Format) IsMessage() bool { return f == AML || f == PIDFLO || f == CAPCircle }

// messageReaders read what is not written by people. Each says whether the text is
// of its kind at all.
var messageReaders = []reader{readAML, readXML}

// readMessage reads a text that is a message between machines.
func readMessage(text string) (Parsed, bool, error) {
	for _, read := range messageReaders {
		if parsed, shaped, err := read(text); shaped {
			if err != nil {
				return Parsed{}, true, err
			}
			return tidy(parsed), true, nil
		}
	}
	return Parsed{}, false, nil
}

// trimMessage takes the white space and the byte order mark around a message off.
func trimMessage(text string) string {
	return strings.TrimSpace(strings.TrimPrefix(text, "\ufeff"))
}

// checkMessage refuses a message that is too long or not text.
func checkMessage(name, text string) error {
	if len(text) > maxMessage {
		return &Error{Reason: fmt.Sprintf("%s is longer than %d bytes", name, maxMessage), Hint: "send only the message"}
	}
	if !utf8.ValidString(text) {
		return &Error{Reason: name + " is not valid UTF-8", Hint: "send it as UTF-8"}
	}
	return nil
}

// wholeDecimal takes a text that is one plain decimal number and no longer than any
// device writes.
func wholeDecimal(text string) (number, bool) {
	const longest = 40
	n, rest, ok := cutSigned(text)
	return n, ok && rest == "" && len(text) <= longest
}
