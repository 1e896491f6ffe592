//go:build race

package api_test

// editsEach is how many edits each of two editors makes: fewer where every one takes
// several times as long.
const editsEach = 100
