package strictjson

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/santhosh-tekuri/jsonschema/v6/kind"
)

// sentence words a single failed keyword.
func (c *collector) sentence(e *jsonschema.ValidationError) string {
	s := c.subject(e.InstanceLocation)
	switch k := e.ErrorKind.(type) {
	case *kind.Type:
		return c.typeSentence(e.InstanceLocation, k)
	case *kind.Enum:
		return c.wordSentence(e.InstanceLocation, k.Got, k.Want)
	case *kind.Const:
		return c.wordSentence(e.InstanceLocation, k.Got, []any{k.Want})
	case *kind.Minimum:
		return fmt.Sprintf("%s must be at least %s (got %s)", s, rat(k.Want), rat(k.Got))
	case *kind.Maximum:
		return fmt.Sprintf("%s must be at most %s (got %s)", s, rat(k.Want), rat(k.Got))
	case *kind.ExclusiveMinimum:
		return fmt.Sprintf("%s must be more than %s (got %s)", s, rat(k.Want), rat(k.Got))
	case *kind.ExclusiveMaximum:
		return fmt.Sprintf("%s must be less than %s (got %s)", s, rat(k.Want), rat(k.Got))
	case *kind.MultipleOf:
		return fmt.Sprintf("%s must be a multiple of %s (got %s)", s, rat(k.Want), rat(k.Got))
	case *kind.MinLength:
		return atLeast(s, k.Want, k.Got, "character")
	case *kind.MaxLength:
		return atMost(s, k.Want, k.Got, "character")
	case *kind.MinItems:
		return atLeast(s, k.Want, k.Got, "item")
	case *kind.MaxItems:
		return atMost(s, k.Want, k.Got, "item")
	case *kind.MinProperties:
		return atLeast(s, k.Want, k.Got, "field")
	case *kind.MaxProperties:
		return atMost(s, k.Want, k.Got, "field")
	case *kind.UniqueItems:
		return fmt.Sprintf("%s lists the same value at positions %d and %d: keep one", s, k.Duplicates[0], k.Duplicates[1])
	case *kind.Pattern:
		return fmt.Sprintf("%s %s (got %s)", s, c.form(e.SchemaURL, "does not have the form "+k.Want), Quote(k.Got))
	case *kind.Format:
		return fmt.Sprintf("%s %s (got %s)", s, c.form(e.SchemaURL, formatHint(k.Want)), showValue(k.Got))
	case *kind.Contains, *kind.MinContains:
		return s + " lacks an item that it must contain"
	}
	return s + " is not allowed as it is: see the schema"
}

// form uses the words of the schema's $comment, or else its examples: both say more
// than a pattern.
func (c *collector) form(location, plain string) string {
	sch := c.schema.at[location]
	switch {
	case sch == nil:
		return plain
	case sch.Comment != "":
		return sch.Comment
	case len(sch.Examples) == 0:
		return plain
	}
	shown := make([]string, 0, len(sch.Examples))
	for _, ex := range sch.Examples {
		shown = append(shown, showValue(ex))
	}
	return "must look like " + list(shown, "or")
}

func formatHint(format string) string {
	switch format {
	case "date-time":
		return `must be a date and time with its zone, such as "2031-03-14T21:40:00Z"`
	case "date":
		return `must be a date such as "2031-03-14"`
	}
	return "must be a valid " + format
}

// typeSentence says which type is wanted, with the usual cause where it is plain.
func (c *collector) typeSentence(path []string, k *kind.Type) string {
	want := make([]string, 0, len(k.Want))
	for _, w := range k.Want {
		want = append(want, typeName(w))
	}
	s := fmt.Sprintf("%s must be %s, got %s", c.subject(path), list(want, "or"), typeName(k.Got))
	value, _ := c.lookup(path)
	switch text, isText := value.(string); {
	case isText && wantsNumber(k.Want) && isNumber(text):
		return s + ": remove the quotes"
	case value == nil && len(path) > 0:
		return s + ": give a value, or leave it out if it is optional"
	}
	return s
}

func wantsNumber(want []string) bool {
	for _, w := range want {
		if w == "number" || w == "integer" {
			return true
		}
	}
	return false
}

func isNumber(text string) bool {
	_, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	return err == nil
}

func typeName(t string) string {
	switch t {
	case "null":
		return "null"
	case "boolean":
		return "true or false"
	case "integer":
		return "a whole number"
	case "array", "object":
		return "an " + t
	}
	return "a " + t
}

// wordSentence lists the allowed words and picks the nearest to what was written.
func (c *collector) wordSentence(path []string, got any, want []any) string {
	var shown, words []string
	for _, w := range want {
		shown = append(shown, showValue(w))
		if word, ok := w.(string); ok {
			words = append(words, word)
		}
	}
	verb := "must be"
	if len(shown) > 1 {
		verb = "must be one of"
	}
	s := fmt.Sprintf("%s %s %s (got %s)", c.subject(path), verb, list(shown, "or"), showValue(got))
	if word, ok := got.(string); ok {
		if near, ok := Nearest(word, words); ok {
			return s + ": did you mean " + Quote(near) + "?"
		}
	}
	return s
}

func atLeast(s string, want, got int, unit string) string {
	if want == 1 && got == 0 {
		return s + " must not be empty"
	}
	return fmt.Sprintf("%s must have at least %s (has %d)", s, count(want, unit), got)
}

func atMost(s string, want, got int, unit string) string {
	return fmt.Sprintf("%s must have at most %s (has %d)", s, count(want, unit), got)
}

func count(n int, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return strconv.Itoa(n) + " " + unit + "s"
}

func rat(r *big.Rat) string {
	f, _ := r.Float64()
	return showNumber(f)
}
