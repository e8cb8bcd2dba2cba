package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/drawing/preview"
	"mahlstick/runner/record"
)

// jobFlags are what run and check have in common.
type jobFlags struct {
	problems string
	workers  int
	picture  string // of the drawings; only check has it
	colours  bool   // list those of the drawings; only check has it
}

func (f *jobFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.problems, "problems", "text", "format of problems: text, or json with one problem per line")
	cmd.Flags().IntVar(&f.workers, "workers", runtime.NumCPU(), "number of processor cores to use; the result does not depend on it")
}

func (f *jobFlags) check() error {
	if f.problems != "text" && f.problems != "json" {
		return fmt.Errorf("--problems takes text or json, not %q", f.problems)
	}
	if f.workers < 1 {
		return fmt.Errorf("--workers takes a number from 1, not %d", f.workers)
	}
	return nil
}

func runCommand() *cobra.Command {
	var flags jobFlags
	var wait time.Duration
	cmd := &cobra.Command{
		Use:   "run RECIPE...",
		Short: "Write the programs and the logbook page of each recipe",
		Long: `Run evaluates each recipe, plans its strokes, writes one machine program for
each layer and a margin walk, reads every program back and checks it, and
writes the logbook page. If there is an error, nothing of that job is written
and its earlier result stays.

The result goes to logbook/JOB/ in the studio's folder: the nearest folder
upwards with a studio.md, or else the recipe's own folder. Your own files in
logbook/JOB/ are never changed. A result file that you changed by hand is
renamed to FILE.changed.

` + exitCodes,
		Example: `  mahlstick run heron/heron.md
  mahlstick run heron/heron.md pond/pond.md --problems json`,
		Args: takes(1, math.MaxInt, "one recipe or more"),
		RunE: func(cmd *cobra.Command, recipes []string) error {
			return eachRecipe(cmd, recipes, flags, intoLogbook(wait))
		},
	}
	flags.add(cmd)
	addWait(cmd, &wait)
	return cmd
}

func addWait(cmd *cobra.Command, wait *time.Duration) {
	cmd.Flags().DurationVar(wait, "wait", 10*time.Second, "how long to wait for another run of the same job")
}

func checkCommand() *cobra.Command {
	var flags jobFlags
	cmd := &cobra.Command{
		Use:   "check RECIPE... | DRAWING...",
		Short: "List each problem, where it is, and how to fix it; write nothing",
		Long: `Check does everything that run does, including the planning and the proof, and
writes nothing. With --picture it also draws the drawings of one recipe as they
were read, with a ring around each loose end, where an outline is not closed.

Check of a drawing lists its colours and layers with the number and the area of
their shapes, and prints a row of Layers for each, ready to paste into a recipe.
With --colours, check of a recipe lists those of its drawings as well.

With --problems json each problem is one line of JSON: its place, its code and
its message, how to fix it (mend), and, where changing the text fixes it, the
changes for an editor to offer (edits: the place and the new text).

` + exitCodes,
		Example: `  mahlstick check heron/heron.md
  mahlstick check heron/heron.md --picture ends.svg
  mahlstick check jay/jay.svg        list its colours as rows of Layers
  mahlstick check heron/heron.md --problems json`,
		Args: takes(1, math.MaxInt, "one recipe or more"),
		RunE: func(cmd *cobra.Command, recipes []string) error {
			if isDrawing(recipes[0]) {
				return listColours(cmd, recipes, flags)
			}
			if picture := flags.picture; picture != "" {
				if err := checkPicture(picture, len(recipes), "recipe"); err != nil {
					return err
				}
				if err := drawDrawings(recipes[0], picture); err != nil {
					fmt.Fprintf(cmd.ErrOrStderr(), "mahlstick: the picture could not be written: %v\n", err)
					return exitWith(exitDisk)
				}
			}
			return eachRecipe(cmd, recipes, flags, nil)
		},
	}
	flags.add(cmd)
	cmd.Flags().StringVar(&flags.picture, "picture", "", "draw the drawings into `FILE.svg`, with a ring around each loose end")
	cmd.Flags().BoolVar(&flags.colours, "colours", false, "list the colours and layers of the drawings")
	return cmd
}

// drawDrawings writes the picture of a recipe's drawings, but never over one of
// them. If no drawing could be read there is no picture.
func drawDrawings(recipe, picture string) error {
	dir, drawings, err := runner.Drawings(recipe)
	if err != nil || len(drawings) == 0 {
		return err
	}
	if there, err := os.Stat(picture); err == nil {
		for _, d := range drawings {
			if own, err := os.Stat(filepath.Join(dir, filepath.FromSlash(d.File.Name))); err == nil && os.SameFile(there, own) {
				return fmt.Errorf("%s is a drawing of this job: give the picture another name", picture)
			}
		}
	}
	return writePicture(picture, func(w io.Writer) error { return preview.Write(w, drawings) })
}

// writeResult writes a result and lists the files that were changed by hand.
type writeResult func(*runner.Result) ([]record.Kept, error)

// intoLogbook writes a result into its studio's logbook and waits at most so
// long for another run of the same job.
func intoLogbook(wait time.Duration) writeResult {
	return func(r *runner.Result) ([]record.Kept, error) {
		store := runner.LogbookOf(r.Studio)
		store.Wait = wait
		return r.Write(store)
	}
}

// eachRecipe evaluates the recipes one after another and prints their problems
// and results. The exit code is the highest of all.
func eachRecipe(cmd *cobra.Command, recipes []string, flags jobFlags, write writeResult) error {
	if err := flags.check(); err != nil {
		return err
	}
	out, errs := cmd.OutOrStdout(), cmd.ErrOrStderr()
	worst := exitDone
	var failed []string
	for i, recipe := range recipes {
		if i > 0 && flags.problems == "text" {
			fmt.Fprintln(out)
		}
		code := oneRecipe(out, errs, recipe, flags, write)
		if worst = max(worst, code); code != exitDone {
			failed = append(failed, recipe)
		}
	}
	if len(failed) > 0 && len(failed) < len(recipes) && flags.problems == "text" {
		fmt.Fprintf(errs, "\n%d of %d recipes failed: %s\n", len(failed), len(recipes), strings.Join(failed, ", "))
	}
	return exitWith(worst)
}

func oneRecipe(out, errs io.Writer, recipe string, flags jobFlags, write writeResult) int {
	show := progressOn(errs)
	result, problems, err := runner.Run(recipe, runner.Options{Workers: flags.workers, Progress: show.line})
	show.clear()
	if flags.colours && flags.problems == "text" {
		colours(out, recipe, flags.workers)
	}
	return finish(out, errs, recipe, flags, evaluated{result, problems, err}, write)
}

// evaluated is a recipe as evaluated.
type evaluated struct {
	result   *runner.Result
	problems problem.List
	err      error // about the disk
}

// finish prints the problems of a recipe and its summary, and writes the result
// if there is no error. It is the exit code.
func finish(out, errs io.Writer, recipe string, flags jobFlags, e evaluated, write writeResult) int {
	result, problems, err := e.result, e.problems.Sorted(), e.err
	print, to := problem.Print, errs
	if flags.problems == "json" {
		print, to = problem.PrintJSON, out // an editor reads standard output
		out = io.Discard
	}
	if perr := print(to, problems); perr != nil {
		return exitDisk
	}
	switch {
	case err != nil:
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk
	case problems.HasErrors():
		if flags.problems == "text" {
			fmt.Fprintf(errs, "%s: %s. Nothing was written.\n", recipe, format.Count(countErrors(problems), "error"))
			if flags.picture == "" && slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.Code == problem.OpenContour }) {
				fmt.Fprintf(errs, "To see where: mahlstick check %s --picture ends.svg\n", recipe)
			}
		}
		return exitProblems
	}
	summary(out, result)
	if result.Failed() {
		for _, c := range result.Checks {
			if !c.OK {
				fmt.Fprintf(errs, "%s: %s: found %s, allowed %s%s\n", c.Program, c.Name, c.Found, c.Allowed, where(c.Line))
			}
		}
		fmt.Fprintf(errs, "%s: a program broke a rule when it was read back. Nothing was written.\n", recipe)
		return exitProof
	}
	if write == nil {
		if flags.picture != "" {
			fmt.Fprintf(out, "All is well; nothing was written but %s.\n", flags.picture)
		} else {
			fmt.Fprintf(out, "All is well; nothing was written.\n")
		}
		return exitDone
	}
	kept, err := write(result)
	listKept(errs, result.Folder(), kept)
	if err != nil {
		notWritten(errs, recipe, result.Folder(), err)
		return exitDisk
	}
	fmt.Fprintf(out, "Wrote %s (%s). Open %s.\n", result.Folder(), format.Count(len(result.Outputs), "file"), filepath.Join(result.Folder(), "index.html"))
	printGoesOn(out, result)
	if layer, file, rows, ok := result.NextReading(); ok {
		fmt.Fprintf(out, "If the sheet is moved before the layer %s, or the zero is lost, run %s, fill in what the machine shows, and write it under Seating, below the rows that are there:\n\n%s", layer, file, rows)
	}
	return exitDone
}

// notWritten explains why a result is not in its folder, or not completely.
func notWritten(errs io.Writer, recipe, folder string, err error) {
	var postCommit *record.PostCommitError
	switch {
	case errors.As(err, &postCommit):
		fmt.Fprintf(errs, "mahlstick: %v\n  The result is written to %s. Run again when there is room.\n", postCommit, folder)
	case errors.Is(err, record.ErrLocked):
		fmt.Fprintf(errs, "mahlstick: %s: %v\n", recipe, err)
	case errors.Is(err, record.ErrNoFolder), errors.Is(err, record.ErrInTheWay):
		fmt.Fprintf(errs, "mahlstick: %s could not be written: %v\n  No file was changed. Move it away, then run again.\n", folder, err)
	default:
		fmt.Fprintf(errs, "mahlstick: %s could not be written: %v\n  No file was changed. Free some space or make the folder writable, then run again.\n", folder, err)
	}
}

func where(line int) string {
	if line == 0 {
		return ""
	}
	return fmt.Sprintf(" (line %d)", line)
}

func countErrors(list problem.List) (n int) {
	for _, p := range list {
		if p.Severity == problem.Error {
			n++
		}
	}
	return n
}

// progress shows one line on a terminal, and nothing in a file or a pipe.
type progress struct {
	to    io.Writer
	on    bool
	width int
}

func progressOn(w io.Writer) *progress {
	if s, ok := w.(*sanitizingWriter); ok {
		w = s.to // these control characters are our own
	}
	f, ok := w.(*os.File)
	return &progress{to: w, on: ok && isatty.IsTerminal(f.Fd())}
}

func (p *progress) line(text string) {
	if !p.on {
		return
	}
	text = problem.Sanitize(text)
	pad := max(0, p.width-len([]rune(text)))
	p.width = len([]rune(text))
	fmt.Fprintf(p.to, "\r%s%s", text, strings.Repeat(" ", pad))
}

func (p *progress) clear() {
	if p.on && p.width > 0 {
		fmt.Fprintf(p.to, "\r%s\r", strings.Repeat(" ", p.width))
		p.width = 0
	}
}
