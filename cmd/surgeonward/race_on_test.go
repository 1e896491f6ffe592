//go:build race

package main

// raceFactor is how much more memory a program with the race detector may need.
const raceFactor = 10
