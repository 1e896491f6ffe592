package wire

import (
	"strconv"

	"surgeonward/facilities/strictjson"
)

// member is a value of a decoded document with its JSON Pointer. Its methods
// give the zero value for what is missing or of another type: the schema
// reports that.
type member struct {
	value   any
	pointer string
}

func (m member) get(name string) member {
	object, _ := m.value.(map[string]any)
	return member{object[name], m.pointer + strictjson.Pointer(name)}
}

func (m member) given() bool { return m.value != nil }

func (m member) items() []member {
	array, _ := m.value.([]any)
	out := make([]member, len(array))
	for i, v := range array {
		out[i] = member{v, m.pointer + "/" + strconv.Itoa(i)}
	}
	return out
}

func (m member) text() string {
	s, _ := m.value.(string)
	return s
}

func (m member) texts() []string {
	var out []string
	for _, item := range m.items() {
		out = append(out, item.text())
	}
	return out
}

func (m member) truth() bool {
	b, _ := m.value.(bool)
	return b
}

func (m member) number() (float64, bool) {
	n, ok := m.value.(float64)
	return n, ok
}
