// Command checkimports fails when a package of this module imports against
// the direction cmd -> api -> routing -> facilities -> geo, or when a package
// that must do no input or output imports something that does.
//
// Usage: checkimports [DIR]; DIR is the module's root, default the current one.
package main

import (
	"fmt"
	"io"
	"os"
)

func main() {
	dir := "."
	if len(os.Args) > 1 {
		dir = os.Args[1]
	}
	os.Exit(run(dir, os.Stdout, os.Stderr))
}

// run checks the module in dir: 0 when all is well, 1 when there are faults,
// 2 when dir cannot be checked.
func run(dir string, stdout, stderr io.Writer) int {
	result, err := check(os.DirFS(dir))
	if err != nil {
		fmt.Fprintf(stderr, "checkimports: %v\n", err)
		return 2
	}
	for _, fault := range result.faults {
		fmt.Fprintf(stderr, "checkimports: %s\n", fault)
	}
	if len(result.faults) > 0 {
		return 1
	}
	fmt.Fprintf(stdout, "checkimports: %d Go files import in the right direction\n", result.files)
	return 0
}
