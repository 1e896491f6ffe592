// Command testreport runs `go test -json` with the arguments it is given and
// prints one line per package, the whole output of what failed, every skipped
// test with its reason, and the counts. A plain `go test` says nothing about
// skipped tests, so a missing input would go unnoticed.
//
// Usage: testreport [go test flags] [packages]
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, os.Args[1:])
	stop()
	os.Exit(code)
}

// run returns 0 when every package passed and at least one test ran.
func run(ctx context.Context, args []string) int {
	cmd := exec.CommandContext(ctx, "go", append([]string{"test", "-json"}, args...)...)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "testreport:", err)
		return 2
	}
	r := newReport(os.Stdout)
	readErr := r.read(out)
	err = errors.Join(readErr, cmd.Wait())
	r.close()
	switch {
	case err != nil:
		fmt.Fprintln(os.Stderr, "testreport: go test:", err)
		return 1
	case r.passed == 0:
		fmt.Fprintln(os.Stderr, "testreport: no test ran")
		return 1
	}
	return 0
}
