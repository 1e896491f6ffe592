//go:build !race

package api_test

// editsEach is how many edits each of two editors makes.
const editsEach = 500
