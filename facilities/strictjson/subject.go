package strictjson

import (
	"strconv"
	"strings"
)

// subject names what a sentence is about: the field, with the position for an item
// of an array, as "days/0".
func (c *collector) subject(path []string) string {
	if len(path) == 0 {
		return "the document"
	}
	from := len(path) - 1
	for from > 0 && c.inArray(path[:from]) {
		from--
	}
	return Quote(strings.Join(path[from:], "/"))
}

func (c *collector) inArray(path []string) bool {
	parent, ok := c.lookup(path)
	if !ok {
		return false
	}
	_, isArray := parent.([]any)
	return isArray
}

// lookup returns the value at a path in the document.
func (c *collector) lookup(path []string) (any, bool) {
	v := c.document
	for _, token := range path {
		switch container := v.(type) {
		case map[string]any:
			member, ok := container[token]
			if !ok {
				return nil, false
			}
			v = member
		case []any:
			i, err := strconv.Atoi(token)
			if err != nil || i < 0 || i >= len(container) {
				return nil, false
			}
			v = container[i]
		default:
			return nil, false
		}
	}
	return v, true
}
