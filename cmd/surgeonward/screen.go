package main

import (
	"os"
	"strconv"

	"golang.org/x/term"

	"surgeonward/cmd/surgeonward/terminal"
)

// style is how to print on standard output: the width asked for, else the
// terminal's, else what COLUMNS says, else the default.
func (p *program) style(asked int) terminal.Style {
	s := terminal.Style{Width: asked, Unicode: terminal.SpeaksUTF8(p.env)}
	if s.Width > 0 {
		return s
	}
	if f, ok := p.stdout.(*os.File); ok {
		if columns, _, err := term.GetSize(int(f.Fd())); err == nil && columns > 0 {
			s.Width = columns
			return s
		}
	}
	if columns, err := strconv.Atoi(p.env("COLUMNS")); err == nil && columns > 0 {
		s.Width = columns
	}
	return s
}
