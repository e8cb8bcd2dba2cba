// Command mahlstick turns a Markdown recipe into machine programs for a brush
// and a logbook page.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"mahlstick/recipe/problem"
	"mahlstick/runner/record"
)

// Exit codes. When several hold, the highest wins.
const (
	exitDone     = 0
	exitProblems = 1 // the recipe, a notebook or a drawing has problems
	exitUse      = 2 // wrong use of the command
	exitDisk     = 3 // could not read or write, or another run has the lock of the job
	exitProof    = 4 // a program broke a rule when it was read back
	exitDiffers  = 5 // a repeat or a run differs from what is made now
	exitTampered = 6 // a signed file was changed
)

const exitCodes = `Exit codes (the highest wins):
  0  done
  1  the recipe, a notebook or a drawing has problems, or nothing was run yet
  2  wrong use of the command
  3  could not read or write, or another run is writing the job
  4  a program broke a rule when it was read back
  5  a repeat differs from what was signed, or a run is out of date
  6  a signed file was changed`

// exitError is an exit code whose reason was printed already.
type exitError int

func (e exitError) Error() string { return fmt.Sprintf("exit code %d", int(e)) }

// exitWith is the error with an exit code.
func exitWith(code int) error {
	if code == exitDone {
		return nil
	}
	return exitError(code)
}

func main() {
	limitGarbage()
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// run is the whole program, for main and for the tests.
func run(args []string, stdout, stderr io.Writer) int {
	out, errs := &sanitizingWriter{to: stdout}, &sanitizingWriter{to: stderr}
	root := rootCommand()
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.Execute()
	defer out.flush()
	defer errs.flush()
	var code exitError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &code):
		return int(code)
	default:
		// Errors of the command line library are wrong use.
		fmt.Fprintf(errs, "mahlstick: %v\nTry: mahlstick %s\n", err, suggestion(root, args))
		return exitUse
	}
}

// suggestion is what somebody probably meant who used the command wrongly.
func suggestion(root *cobra.Command, args []string) string {
	if len(args) == 0 {
		return "--help"
	}
	if strings.EqualFold(filepath.Ext(args[0]), ".md") {
		return "run " + args[0]
	}
	var names []string
	for _, c := range root.Commands() {
		if c.Name() == args[0] {
			return args[0] + " --help"
		}
		if !c.Hidden {
			names = append(names, c.Name())
		}
	}
	if near, ok := problem.Nearest(args[0], names); ok {
		return strings.Join(append([]string{near}, args[1:]...), " ")
	}
	return "--help"
}

// takes is the error for a wrong number of arguments, with the command's first
// example.
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

// invalidValue is how the command line library words a value that a flag cannot have.
var invalidValue = regexp.MustCompile(`^invalid argument (".*") for "--([a-z]+)" flag: `)

// flagError says in plain words what a flag takes.
func flagError(cmd *cobra.Command, err error) error {
	found := invalidValue.FindStringSubmatch(err.Error())
	if found == nil {
		return err
	}
	flag := cmd.Flags().Lookup(found[2])
	if flag == nil {
		return err
	}
	takes := ""
	switch kind := flag.Value.Type(); {
	case kind == "int" && strings.Contains(flag.Usage, "`STROKE`"):
		takes = "the number of a stroke, such as 61"
	case kind == "int":
		takes = "a number from 1"
	case kind == "duration":
		takes = "a time, such as 10s or 2m"
	case kind == "bool":
		takes = "no value, or true or false"
	default:
		return err
	}
	return fmt.Errorf("--%s takes %s, not %s", flag.Name, takes, found[1])
}

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "mahlstick",
		Short: "Paint drawings with a brush held in a small machine, from a Markdown recipe",
		Long: `mahlstick reads a recipe: a Markdown file with the sheet, the measured brushes,
the drawings of the layers and the feeds. It calculates the press at every point
of every stroke, writes a machine program for each layer, reads the programs
back to check them, and writes the job's logbook page.

` + exitCodes,
		Example: `  mahlstick start studio             make a studio with examples and a guide
  mahlstick check heron/heron.md     list each problem, write nothing
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
	root.SetFlagErrorFunc(flagError)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(startCommand(), templateCommand(), swatchCommand(), runCommand(), checkCommand(), watchCommand(), readCommand(), resumeCommand(), signCommand(), repeatCommand())
	return root
}
