package main

import (
	"cmp"
	"fmt"
	"runtime"

	"surgeonward/api"
)

type versionCommand struct{}

// Run prints the version, and the Go version it was built with.
func (versionCommand) Run(p *program) error {
	_, err := fmt.Fprintf(p.stdout, "surgeonward %s %s %s/%s\n", version(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return err
}

// version names the build: what the linker was told, else what the go command
// recorded.
func version() string { return cmp.Or(build, api.Build()) }
