package facilities

import (
	"strconv"

	"surgeonward/facilities/strictjson"
)

// node is a value of the document with its place. A node of the wrong type reads as
// empty: the schema has already said what is wrong, and reading goes on to find the
// other faults.
type node struct {
	value   any
	pointer string
}

func (n node) object() map[string]any {
	m, _ := n.value.(map[string]any)
	return m
}

func (n node) member(name string) (node, bool) {
	v, ok := n.object()[name]
	if !ok {
		return node{}, false
	}
	return node{value: v, pointer: n.pointer + strictjson.Pointer(name)}, true
}

func (n node) items(name string) []node {
	list, ok := n.member(name)
	if !ok {
		return nil
	}
	array, _ := list.value.([]any)
	nodes := make([]node, len(array))
	for i, v := range array {
		nodes[i] = list.item(i, v)
	}
	return nodes
}

func (n node) text(name string) string {
	s, _ := n.object()[name].(string)
	return s
}

func (n node) flag(name string) bool {
	b, _ := n.object()[name].(bool)
	return b
}

func (n node) number(name string) *float64 {
	f, ok := n.object()[name].(float64)
	if !ok {
		return nil
	}
	return &f
}

func (n node) item(i int, v any) node {
	return node{value: v, pointer: n.pointer + "/" + strconv.Itoa(i)}
}
