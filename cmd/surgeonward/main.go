// Command surgeonward answers which vehicle takes a patient to which hospital
// so that a surgeon who operates inside the chest takes over soonest. It
// serves the HTTP interface and answers on the command line.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // local hours must not depend on what a machine has installed
)

// build names the version; the linker sets it. See version.go.
var build string

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Getenv, os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// run does what the arguments ask for until it is done or ctx ends. It returns
// the exit code: 0 done, 1 failed, 2 the arguments make no sense.
func run(ctx context.Context, args []string, env func(string) string, stdin io.Reader, stdout, stderr io.Writer) int {
	p := &program{env: env, stdin: stdin, stdout: stdout, stderr: stderr}
	return p.main(ctx, args)
}
