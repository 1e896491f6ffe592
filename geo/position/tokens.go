package position

import "strings"

// A token of degrees, minutes and seconds.
type token struct {
	kind kind
	num  number // of kind numeral
	text string // as written
}

type kind byte

const (
	numeral    kind = '0'
	hemisphere kind = 'N'  // N, S, E or W: the text
	degreeMark kind = '°'  // ° or D
	minuteMark kind = '\'' // ' or M
	secondMark kind = '"'  // " or two minute marks; S in some places, see markSeconds
	colon      kind = ':'  // after degrees or after minutes
	divider    kind = ','  // comma or semicolon between latitude and longitude
)

var hemisphereWords = []string{"NORTH", "SOUTH", "EAST", "WEST", "N", "S", "E", "W"}

// tokenize splits a text that is wholly made of numbers, hemispheres and marks. It
// stops at the first thing that is none of these and returns the rest: the text is
// something else.
func tokenize(text string) (tokens []token, rest string, err error) {
	for spaced := true; text != ""; {
		if rest, found := strings.CutPrefix(text, " "); found {
			text, spaced = rest, true
			continue
		}
		t, rest, ok := cutToken(text)
		if !ok {
			return nil, text, err
		}
		if err == nil && t.kind == numeral {
			err = checkNumeral(t, rest, tokens, spaced)
		}
		tokens, text, spaced = append(tokens, t), rest, false
	}
	return tokens, "", err
}

func cutToken(text string) (t token, rest string, ok bool) {
	if n, rest, ok := cutSigned(text); ok {
		return token{kind: numeral, num: n, text: n.String()}, rest, true
	}
	for _, word := range hemisphereWords {
		if rest, found := strings.CutPrefix(text, word); found {
			return token{kind: hemisphere, text: word[:1]}, rest, true
		}
	}
	for _, mark := range []struct {
		text string
		kind kind
	}{
		{"°", degreeMark}, {"D", degreeMark}, {"''", secondMark}, {"'", minuteMark}, {"M", minuteMark},
		{`"`, secondMark}, {":", colon}, {",", divider}, {";", divider},
	} {
		if rest, found := strings.CutPrefix(text, mark.text); found {
			return token{kind: mark.kind, text: mark.text}, rest, true
		}
	}
	return token{}, text, false
}

// checkNumeral looks at what stands around a number: most slips that would change
// its value are seen there. before holds the tokens before it, rest the text after.
func checkNumeral(t token, rest string, before []token, spaced bool) error {
	last := func(i int) token { // i tokens back
		if len(before) < i {
			return token{}
		}
		return before[len(before)-i]
	}
	switch {
	case strings.HasPrefix(rest, "."):
		return refuse("write digits on both sides of one decimal point", "%q is not a number", t.text+".")
	case t.num.signed && !spaced && last(1).kind != divider:
		return refuse("put a space or a comma between the two numbers", "a sign stands in the middle of %q", last(1).text+t.text)
	case !spaced && last(1).text == "E" && last(2).kind == numeral && before[0].kind != hemisphere:
		return refuse("write all digits out, or put a space after E for east", "%q may be an exponent", last(2).text+"e"+t.text)
	}
	return nil
}

// markSeconds turns each S that is a mark of seconds into one. An S after a third
// number is a mark where another hemisphere letter follows it or stands in front of
// the coordinate; otherwise it is south, unless minutes were marked with a letter
// too, in which case nobody can tell.
func markSeconds(tokens []token) error {
	prefixed := tokens[0].kind == hemisphere
	for i := 3; i < len(tokens); i++ {
		if tokens[i].text != "S" || tokens[i].kind != hemisphere || tokens[i-1].kind != numeral || tokens[i-2].kind != minuteMark {
			continue
		}
		followed := i+1 < len(tokens) && tokens[i+1].kind == hemisphere
		switch {
		case followed || prefixed:
			tokens[i].kind = secondMark
		case tokens[i-2].text == "M":
			return refuse(`write seconds with " and keep S for south`, "the S after %q may be seconds or south", tokens[i-1].text)
		}
	}
	return nil
}
