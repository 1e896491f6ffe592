package main

import (
	"os"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// progress shows on standard error how far a long run has come; nil where nobody
// watches.
func (p *program) progress(quiet bool, what string) func(done, of int) {
	f, ok := p.stderr.(*os.File)
	if quiet || !ok || !term.IsTerminal(int(f.Fd())) {
		return nil
	}
	var bar *progressbar.ProgressBar
	return func(done, of int) {
		if bar == nil {
			bar = progressbar.NewOptions(of, progressbar.OptionSetWriter(f), progressbar.OptionSetDescription(what),
				progressbar.OptionShowCount(), progressbar.OptionClearOnFinish(), progressbar.OptionSetPredictTime(true))
		}
		_ = bar.Set(done) // a bar that cannot be drawn is no reason to stop
	}
}
