// Package terminal prints an answer for a person at a terminal: the caution,
// the best way out in one sentence, a table of the options, a chart of who
// does what when, and why everything else was left out. It works in plain
// text, with or without characters beyond ASCII, at any width from 40 columns.
package terminal
