// Command sizeply writes a print of a multi-size PDF pattern that holds only
// the chosen sizes. Run it with --help, or see the README.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"github.com/sizeply/sizeply/cli"
)

func main() { os.Exit(run()) }

func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return cli.Run(ctx, os.Args, os.Stdin, os.Stdout, os.Stderr)
}
