// Command sizeply writes a print of a multi-size PDF pattern that holds only
// the chosen sizes. Run it with --help, or see the README.
package main

import (
	"os"

	"github.com/sizeply/sizeply/cli"
)

func main() { os.Exit(cli.Main()) }
