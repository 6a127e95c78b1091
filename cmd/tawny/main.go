// Command tawny blends pigments to a shade: it finds which powders, in what
// ratio and at what load, will look right on a given skin, and writes the
// swatch card and the batch sheet to weigh from.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"tawny/cmd/tawny/job"
	"tawny/colour/table"
)

// Exit codes, as the help states them.
const (
	exitDone        = 0
	exitFailed      = 1   // something went wrong in the program or the machine
	exitInput       = 2   // what was asked makes no sense; nothing was written
	exitFault       = 3   // a fault of the program itself
	exitInterrupted = 130 // Ctrl-C
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// run carries out one command line and returns the exit code.
func run(ctx context.Context, args []string, out, errs io.Writer) (code int) {
	defer func() {
		if e := recover(); e != nil {
			fmt.Fprintf(errs, "tawny: a fault of its own, not of what you asked: %v\nPlease report it with the command you gave and what follows.\n%s\n%s", e, version(), debug.Stack())
			code = exitFault
		}
	}()
	root := newRoot()
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.ExecuteContext(ctx)
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(errs, "tawny: stopped")
		return exitInterrupted
	}
	faults, several := err.(job.Faults)
	if !several {
		faults = job.Faults{err}
	}
	for _, fault := range faults {
		fmt.Fprintln(errs, "tawny:", table.Visible(says(fault)))
	}
	if errors.Is(err, job.ErrInput) || errors.Is(err, errUsage) {
		return exitInput
	}
	return exitFailed
}
