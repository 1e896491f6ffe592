package main

import (
	"slices"
	"strings"

	"github.com/alecthomas/kong"
)

// envPrefix begins the name of every environment variable that is read.
const envPrefix = "SURGEONWARD_"

// fromEnvironment are the commands whose flags can also be given in the
// environment: those that services and their operators run. A question's flags
// cannot, or it would hang on what was left over from the one before.
var fromEnvironment = []string{"serve", "work", "token", "healthy"}

// environment gives the value of a flag that the command line leaves out: that
// of --tls-cert is in SURGEONWARD_TLS_CERT.
func environment(env func(string) string) kong.Resolver {
	return kong.ResolverFunc(func(_ *kong.Context, parent *kong.Path, flag *kong.Flag) (any, error) {
		words := strings.Fields(parent.Node().FullPath())
		if len(words) < 2 || !slices.Contains(fromEnvironment, words[1]) {
			return nil, nil
		}
		name := envPrefix + strings.ToUpper(strings.ReplaceAll(flag.Name, "-", "_"))
		if value := env(name); value != "" {
			return value, nil
		}
		return nil, nil
	})
}
