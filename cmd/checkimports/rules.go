package main

import (
	"fmt"
	"slices"
	"strings"
)

// order lists the module's top folders from the innermost outwards: a package
// may import its own folder and those before it.
var order = []string{"geo", "facilities", "routing", "api", "cmd"}

// testdata holds the demonstration region and reference tables; it stands
// beside the order. The program and the interface embed it, and any test may
// read it, but the model never depends on it.
const testdata = "testdata"

// doesIO matches packages that read files, sockets or the environment, or that
// log. net/url and net/netip only parse text.
var doesIO = []string{"os", "os/...", "net", "net/...", "-net/url", "-net/netip", "syscall", "io/fs", "io/ioutil",
	"log", "log/...", "github.com/rs/zerolog/...", "github.com/labstack/..."}

// forbidden lists, by top folder, what its own code must not import; tests may.
// A pattern "x/..." matches x and all below it; "-x" takes x out again.
var forbidden = map[string][]string{
	"geo":        slices.Concat(doesIO, []string{"context", "encoding/json", "github.com/go-json-experiment/..."}),
	"routing":    doesIO,
	"facilities": {"net", "net/http/...", "log", "log/...", "github.com/rs/zerolog/...", "github.com/labstack/..."},
}

// readsClock are the functions of package time that depend on when they run.
var readsClock = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer"}

// clockless are the folders whose code gets the time as an argument.
var clockless = []string{"geo", "routing"}

// vague are package names that say nothing about what is inside.
var vague = []string{"util", "utils", "common", "manager", "types", "models", "helpers", "misc"}

// matches reports whether the import path is covered by the patterns.
func matches(patterns []string, path string) bool {
	covered := false
	for _, p := range patterns {
		take := true
		if rest, ok := strings.CutPrefix(p, "-"); ok {
			p, take = rest, false
		}
		base, below := strings.CutSuffix(p, "/...")
		if path == base || below && strings.HasPrefix(path, base+"/") {
			covered = take
		}
	}
	return covered
}

// direction says what is wrong with a file in folder from importing folder to
// of the same module; empty: nothing.
func direction(from, to string, isTest bool) string {
	rank := func(folder string) int { return slices.Index(order, folder) }
	switch {
	case from == to:
		return ""
	case to == testdata:
		if isTest || from == "api" || from == "cmd" {
			return ""
		}
		return fmt.Sprintf("%s must not import testdata outside tests", from)
	case from == testdata:
		// A generator there may use the model, never the program around it.
		if rank(to) < rank("api") {
			return ""
		}
		return fmt.Sprintf("testdata must not import %s", to)
	case rank(to) < 0:
		return "" // reported once, where that folder's own files are met
	case rank(to) > rank(from):
		return fmt.Sprintf("%s must not import %s: imports go cmd -> api -> routing -> facilities -> geo", from, to)
	}
	return ""
}
