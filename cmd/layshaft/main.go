// Command layshaft checks a catalogue of gearbox variants and parts, reads kit
// lists, compares them with what a job needs, and names a variant from counts.
//
// The catalogue is a folder of CSV tables with its datapackage.json, or a
// workbook (.xlsx) of the same tables. Every subcommand prints text for people,
// or with --json one JSON document whose shape its help describes. Exit
// statuses are listed in exit.go and in the help.
package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/alecthomas/kong"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	status := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Environ())
	stop()
	os.Exit(int(status))
}

// app is what a subcommand works with.
type app struct {
	ctx   context.Context
	stdin io.Reader
	out   *printer
	errs  *printer
	env   []string
	now   func() time.Time
}

// commands lists every subcommand; one file each.
type commands struct {
	Check     checkCommand     `cmd:"" help:"Check a catalogue and name every problem."`
	Read      readCommand      `cmd:"" help:"Read a kit list and say which parts it names."`
	Notes     notesCommand     `cmd:"" help:"Read a bench note and show the decisions that it states."`
	Reconcile reconcileCommand `cmd:"" help:"Compare a job with its kit lists: what does not fit, is missing or is surplus."`
	Identify  identifyCommand  `cmd:"" help:"Name the variant of a gearbox from counts and other observations."`
	Stack     stackCommand     `cmd:"" help:"Say which shim or ring closes a select-fit stack, from readings."`
	Spread    spreadCommand    `cmd:"" help:"Say which grades to have before the dry build."`
	Inspect   inspectCommand   `cmd:"" help:"Judge a measured part against its limit: keep, renew or measure again."`
	FitClass  fitClassCommand  `cmd:"" help:"Give limits and fit of a journal or bore by its ISO 286 symbol, and judge readings of it."`
	Decode    decodeCommand    `cmd:"" help:"Say what a designation fixed by a standard means."`
	Gears     gearsCommand     `cmd:"" help:"Work out ratio, centre distance, tooth sum and measuring sizes of a pair of wheels."`
	Fits      fitsCommand      `cmd:"" help:"Say whether a part goes in at a position, and what else must change."`
	Compare   compareCommand   `cmd:"" help:"Compare two kits or two decisions for one job: what changes in the report."`
	Refit     refitCommand     `cmd:"" help:"Fit the weights of reading kit lists to the answers given at the shop's jobs."`
	Import    importCommand    `cmd:"" help:"Show what a catalogue would change in a shop's data, and with --apply change it."`
	Export    exportCommand    `cmd:"" help:"Write a shop's catalogue as tables."`
	Demo      demoCommand      `cmd:"" help:"Serve the pages and the API of an invented shop, on this machine only."`
	Serve     serveCommand     `cmd:"" help:"Serve the pages and the API of a shop."`
	Sample    sampleCommand    `cmd:"" help:"Write the catalogue, kit lists and jobs of the invented shop into a new folder."`
}

// run is the whole program: it reads args, does one thing and returns the exit
// status. It never panics on what a user gives it.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer, env []string) exitStatus {
	a := &app{ctx: ctx, stdin: stdin, out: newPrinter(stdout), errs: newPrinter(stderr), env: env, now: time.Now}
	var c commands
	exited := -1
	parser, err := kong.New(&c, kong.Name("layshaft"),
		kong.Description("Compares kits and parts with what a gearbox rebuild needs.\n\n"+exitHelp()),
		kong.Writers(stdout, stderr), kong.Exit(func(code int) { exited = code }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true}))
	if err != nil {
		return a.fail(err)
	}
	parsed, err := parser.Parse(args)
	switch {
	case exited == 0: // help was asked for and printed
		return exitOK
	case err != nil:
		return a.fail(usageError(err))
	}
	return a.fail(errors.Join(parsed.Run(a), a.out.err))
}
