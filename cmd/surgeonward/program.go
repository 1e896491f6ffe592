package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/alecthomas/kong"

	"surgeonward/cmd/surgeonward/terminal"
)

// The exit codes.
const (
	exitOK     = 0
	exitFailed = 1
	exitUsage  = 2
)

// program is what a subcommand may touch of the world around it.
type program struct {
	env            func(string) string
	stdin          io.Reader
	stdout, stderr io.Writer
}

// commands are the subcommands, each in a file of its own.
type commands struct {
	Serve     serveCommand     `cmd:"" help:"Answer over HTTP. Each flag can also be given in the environment: --listen as SURGEONWARD_LISTEN."`
	Work      workCommand      `cmd:"" help:"Work on the jobs of the services on a database, on one more machine."`
	Options   optionsCommand   `cmd:"" help:"Answer one question: every way from the scene to a surgeon, soonest first."`
	Reach     reachCommand     `cmd:"" help:"Say which teams can be with the patient, and open the chest in time."`
	PreAlert  preAlertCommand  `cmd:"" name:"pre-alert" help:"Write the message to the receiving hospital, and the calls with their times."`
	Coverage  coverageCommand  `cmd:"" help:"Count how many people are within how many minutes of a surgeon."`
	Siting    sitingCommand    `cmd:"" help:"Say where another base or asset would do most, with a proven bound."`
	Check     checkCommand     `cmd:"" help:"Check a region folder and list everything that is wrong with it."`
	Calibrate calibrateCommand `cmd:"" help:"Fit the region's figures to its own journeys and propose a change to its settings."`
	Export    exportCommand    `cmd:"" help:"Write the facilities or assets for map programs, databases and spreadsheets."`
	Merge     mergeCommand     `cmd:"" help:"Merge a CSV table into the facilities or assets, and print the list."`
	Replay    replayCommand    `cmd:"" help:"Make a recorded answer again and say whether it is the same, byte for byte."`
	Review    reviewCommand    `cmd:"" help:"List recorded cases: what was offered, chosen and predicted, beside what happened."`
	Init      initCommand      `cmd:"" help:"Write a commented template of a region folder."`
	Token     tokenCommand     `cmd:"" help:"Make, list and end the tokens of a service with access control."`
	Healthy   healthyCommand   `cmd:"" help:"Ask a service on this machine how it is; exit code 0: well."`
	History   historyCommand   `cmd:"" help:"List a region's versions: who changed what, when and why; show one, or bring it back."`
	Copy      copyCommand      `cmd:"" help:"Copy a region with its whole history from a folder to a database, or back."`
	Backup    backupCommand    `cmd:"" help:"Keep a region with its whole history in one file."`
	Restore   restoreCommand   `cmd:"" help:"Put a backup into an empty folder or database."`
	Version   versionCommand   `cmd:"" help:"Print the version."`
}

const description = "Which vehicle, to which hospital, how long until a surgeon has the patient. " +
	"Without --region the built-in demonstration region is used, in which nothing is real."

// usageError is a fault in the arguments that only a subcommand can see.
type usageError struct{ error }

// faultsError is a list of faults, each a line of its own.
type faultsError []string

func (e faultsError) Error() string { return strings.Join(e, "\n") }

func (p *program) main(ctx context.Context, args []string) int {
	var cmds commands
	helped := false
	parser, err := kong.New(&cmds,
		kong.Name("surgeonward"), kong.Description(description), kong.Writers(p.stdout, p.stderr),
		kong.WithHyphenPrefixedParameters(true), // southern latitudes: --scene -45.5,-29.4
		kong.Resolvers(environment(p.env)),
		kong.Exit(func(int) { helped = true }), // asked for help: it has been printed
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: terminal.DefaultWidth}),
	)
	if err != nil {
		return p.fail(err)
	}
	command, err := parser.Parse(args)
	switch {
	case helped:
		return exitOK
	case err != nil:
		return p.fail(usageError{fmt.Errorf("%w (surgeonward --help lists what there is)", err)})
	}
	command.BindTo(ctx, (*context.Context)(nil))
	if err := command.Run(p); err != nil {
		return p.fail(err)
	}
	return exitOK
}

// fail reports every fault on a line of its own.
func (p *program) fail(err error) int {
	for line := range strings.SplitSeq(err.Error(), "\n") {
		fmt.Fprintln(p.stderr, "surgeonward: "+terminal.Clean(line))
	}
	if errors.As(err, new(usageError)) {
		return exitUsage
	}
	return exitFailed
}
