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
	"syscall"

	"tawny/cmd/tawny/job"
)

// Exit codes, as the help states them.
const (
	exitDone        = 0
	exitFailed      = 1   // something went wrong in the program or the machine
	exitInput       = 2   // what was asked makes no sense; nothing was written
	exitInterrupted = 130 // Ctrl-C
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// run carries out one command line and returns the exit code.
func run(ctx context.Context, args []string, out, errs io.Writer) int {
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
	fmt.Fprintln(errs, "tawny:", says(err))
	if errors.Is(err, job.ErrInput) || errors.Is(err, errUsage) {
		return exitInput
	}
	return exitFailed
}
