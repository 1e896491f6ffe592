// Package storetest holds every store to what package store promises.
package storetest

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"time"

	"surgeonward/facilities/store"
)

// Given is what a store is to be begun with.
type Given struct {
	Files map[string][]byte // of the first version
	Names []string          // all that may be there
	Check store.Checker
	Now   func() time.Time
}

const (
	places   = "facilities.geojson"
	fleet    = "fleet.json"
	roads    = "roads.geojson" // not there at first
	settings = "settings.json"
)

// mark in a file makes it one that the checker does not take.
const mark = "UNUSABLE"

func given() Given {
	return Given{
		Files: map[string][]byte{
			places:   []byte("{\"type\": \"FeatureCollection\",\r\n \"features\": []}"),
			fleet:    []byte(`{"assets": [{"id": "heli-1", "endurance_s": 9.0e3}]}`),
			settings: []byte("{\n\t\"x\": \"\u00e9\\u00e9\"\n}\n\n"),
		},
		Names: []string{places, fleet, roads, settings},
		Check: Check,
		Now:   time.Now,
	}
}

// Check finds a fault in each file that holds the word UNUSABLE, and one where
// there is no fleet.json.
func Check(files map[string][]byte) []store.Fault {
	var out []store.Fault
	for _, name := range slices.Sorted(maps.Keys(files)) {
		for range bytes.Count(files[name], []byte(mark)) {
			out = append(out, store.Fault{File: name, Pointer: "/x", Detail: "cannot be used: take it out"})
		}
	}
	if _, there := files[fleet]; !there {
		out = append(out, store.Fault{File: fleet, Detail: "the file is missing: add it"})
	}
	return out
}

// edit replaces one file in a version.
func edit(base int64, name, content string) store.Edit {
	return store.Edit{
		Base: base, Files: map[string][]byte{name: []byte(content)},
		Entry: store.Entry{Who: "desk-1", Why: "a test"},
	}
}

// numbered is a fleet.json that no other number gives.
func numbered(i int) string {
	return fmt.Sprintf(`{"assets": [{"id": "heli-1", "endurance_s": %d}]}`, i)
}
