package table

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"surgeonward/facilities/strictjson"
)

// Type says how a cell is read and written.
type Type int

// The types of columns.
const (
	Text      Type = iota // as it is
	Words                 // words between spaces: a list of texts
	Number                // a plain decimal
	Truth                 // true or false
	Instant               // RFC 3339
	Latitude              // degrees, the second number of a position
	Longitude             // degrees, the first number of a position
)

// Column is one column of a table.
type Column struct {
	Name string
	Type Type
	// Path leads from the element to the value, by the names of members; for Latitude
	// and Longitude to the position, an array.
	Path []string
	// Removes leads to what a hyphen takes away; nil: the value alone.
	Removes []string
	// Anew says that what stands beside the value belongs to it: where the value
	// changes, members beside it that no cell gives are taken away.
	Anew bool
}

// removes is what a hyphen takes away.
func (c *Column) removes() []string {
	if c.Removes != nil {
		return c.Removes
	}
	return c.Path
}

// at follows a path of member names.
func at(value any, path []string) (any, bool) {
	for _, name := range path {
		object, ok := value.(map[string]any)
		if !ok {
			return nil, false
		}
		if value, ok = object[name]; !ok || value == nil {
			return nil, false
		}
	}
	return value, true
}

// axis is the place of the column's number in a position.
func (c *Column) axis() (i int, isPosition bool) {
	switch c.Type {
	case Longitude:
		return 0, true
	case Latitude:
		return 1, true
	}
	return 0, false
}

// show returns the cell of an element.
func (c *Column) show(element any) string {
	value, ok := at(element, c.Path)
	if !ok {
		return ""
	}
	if i, isPosition := c.axis(); isPosition {
		position, _ := value.([]any)
		if len(position) < 2 {
			return ""
		}
		value = position[i]
	}
	switch v := value.(type) {
	case string:
		return SafeText(v)
	case bool:
		return strconv.FormatBool(v)
	case json.Number:
		return plainNumber(v)
	case []any:
		words := make([]string, 0, len(v))
		for _, item := range v {
			if word, ok := item.(string); ok {
				words = append(words, word)
			}
		}
		return SafeText(strings.Join(words, " "))
	}
	return ""
}

// plainNumber writes a number without exponent.
func plainNumber(n json.Number) string {
	if !strings.ContainsAny(string(n), "eE") {
		return string(n)
	}
	f, err := n.Float64()
	if err != nil {
		return string(n)
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

var decimal = regexp.MustCompile(`^([+-]?)0*([0-9]+)(?:[.]([0-9]+))?$`)

// read takes a cell that is not blank.
func (c *Column) read(cell string, decimalComma bool) (any, error) {
	switch c.Type {
	case Text, Instant:
		if strings.HasPrefix(cell, "=") {
			return nil, fmt.Errorf("the text begins with =, as a formula does: put a ' in front if it is meant")
		}
		return plainText(cell), nil
	case Words:
		words := []any{}
		for _, word := range strings.Fields(plainText(cell)) {
			if strings.ContainsAny(word, ",;") {
				return nil, fmt.Errorf("%s has a comma or a semicolon: put spaces between the words", strictjson.Quote(word))
			}
			words = append(words, word)
		}
		return words, nil
	case Truth:
		switch strings.ToLower(cell) {
		case "true", "yes":
			return true, nil
		case "false", "no":
			return false, nil
		}
		return nil, fmt.Errorf("%s is neither true nor false", strictjson.Quote(cell))
	}
	return c.number(cell, decimalComma)
}

func (c *Column) number(cell string, decimalComma bool) (any, error) {
	text := cell
	if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		if !decimalComma {
			return nil, fmt.Errorf("%s has a comma: write a decimal point", strictjson.Quote(cell))
		}
		text = strings.Replace(text, ",", ".", 1)
	}
	m := decimal.FindStringSubmatch(strings.ReplaceAll(text, "\u2212", "-"))
	if m == nil || len(text) > 40 {
		return nil, fmt.Errorf("%s is not a plain number: write digits and at most one decimal point, without unit and thousands", strictjson.Quote(cell))
	}
	text = strings.TrimPrefix(m[1], "+") + m[2]
	if m[3] != "" {
		text += "." + m[3]
	}
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return nil, fmt.Errorf("%s is not a number that can be kept", strictjson.Quote(cell))
	}
	limit := map[Type]float64{Latitude: 90, Longitude: 180}[c.Type]
	if limit > 0 && (f > limit || f < -limit) {
		hint := "write degrees"
		if c.Type == Latitude && f <= 180 && f >= -180 {
			hint = "latitude and longitude may be swapped"
		}
		return nil, fmt.Errorf("%s is outside -%v to %v degrees: %s", strictjson.Quote(cell), limit, limit, hint)
	}
	return json.Number(text), nil
}

// same reports whether two values mean the same in the column.
func (c *Column) same(a, b any) bool {
	switch a := a.(type) {
	case json.Number:
		other, ok := b.(json.Number)
		x, errX := a.Float64()
		y, errY := other.Float64()
		return ok && errX == nil && errY == nil && x == y
	case []any:
		other, ok := b.([]any)
		return ok && slices.Equal(sorted(a), sorted(other))
	case string:
		other, ok := b.(string)
		if !ok || c.Type != Instant {
			return ok && a == other
		}
		x, errX := time.Parse(time.RFC3339, a)
		y, errY := time.Parse(time.RFC3339, other)
		return a == other || errX == nil && errY == nil && x.Equal(y)
	}
	return a == b
}

// sorted is a list of words in alphabetical order: what was there in another order is
// the same.
func sorted(list []any) []string {
	words := make([]string, len(list))
	for i, item := range list {
		words[i] = fmt.Sprint(item)
	}
	slices.Sort(words)
	return words
}
