// Command mahlstick turns a Markdown recipe into machine programs for a brush
// and a logbook page.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"mahlstick/runner/record"
)

// Exit codes. When several hold, the highest wins.
const (
	exitDone     = 0 // all is well
	exitProblems = 1 // the recipe, a notebook or a drawing has problems
	exitUse      = 2 // the command was used wrongly
	exitDisk     = 3 // could not read or write, or another run holds the job
	exitProof    = 4 // a program broke a rule when it was read back
	exitDiffers  = 5 // a repeat differs
	exitTampered = 6 // a frozen file was changed
)

const exitCodes = `Exit codes (the highest wins):
  0  done
  1  the recipe, a notebook or a drawing has problems
  2  wrong use
  3  could not read or write, or another run holds the job
  4  a program broke a rule when it was read back
  5  a repeat differs
  6  a frozen file was changed`

// coded is an error that has been told already and only carries its code.
type coded int

func (c coded) Error() string { return fmt.Sprintf("exit code %d", int(c)) }

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is the whole program, for main and for the tests.
func run(args []string, stdout, stderr io.Writer) int {
	out, errs := &safe{to: stdout}, &safe{to: stderr}
	root := rootCommand()
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.Execute()
	defer out.end()
	defer errs.end()
	var code coded
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &code):
		return int(code)
	default:
		// What cobra itself finds wrong is wrong use.
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		try := "--help"
		if len(args) > 0 && strings.EqualFold(filepath.Ext(args[0]), ".md") {
			try = "run " + args[0]
		}
		fmt.Fprintln(errs, "Try: mahlstick "+try)
		return exitUse
	}
}

// takes wants so many arguments, in the words of the command's first example.
func takes(least, most int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) >= least && len(args) <= most {
			return nil
		}
		example, _, _ := strings.Cut(strings.TrimSpace(cmd.Example), "\n")
		example, _, _ = strings.Cut(example, "   ")
		return fmt.Errorf("%s takes %s, such as: %s", cmd.Name(), what, example)
	}
}

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "mahlstick",
		Short: "Paint drawings with a brush held in a small machine, from a Markdown recipe",
		Long: `mahlstick reads a recipe: a Markdown file that holds the sheet, the brushes as
measured, the layers' drawings and the feeds. It works out the press at every
point of every stroke, writes a machine program for each layer, reads the
programs back to prove them, and writes the job's logbook page.

` + exitCodes,
		Example: `  mahlstick start studio             lay out a studio with examples and a guide
  mahlstick check heron/heron.md     say what is wrong, write nothing
  mahlstick run heron/heron.md       write logbook/heron/
  mahlstick read logbook/heron/1-straw.nc`,
		Version:       fmt.Sprintf("%s, engine %d", record.Version, record.Engine),
		Args:          cobra.NoArgs,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return cmd.Help()
		},
	}
	root.SetVersionTemplate("mahlstick {{.Version}}\n")
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(startCommand(), templateCommand(), runCommand(), checkCommand(), watchCommand(), readCommand(), signCommand(), repeatCommand())
	return root
}
