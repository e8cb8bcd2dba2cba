package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

func signCommand() *cobra.Command {
	var flags jobFlags
	var wait time.Duration
	var despite string
	cmd := &cobra.Command{
		Use:   "sign RECIPE",
		Short: "Freeze the last run as the next numbered impression",
		Long: `Sign freezes a job as the next impression, in logbook/JOB/impressions/NN/: the
programs, the page, the painting, the record, and below inputs/ every file that
they were made from. No file in it is ever changed. You can sign a sheet before
or after it is painted. If something went differently than planned, write it
under Results in the recipe; that changes no program.

If the recipe has an edition (a row of Sheet), the impressions are numbered
1/10, 2/10, and so on, and there are no more than that.

The run must be what the recipe makes now, and no rule may be broken. With
--despite you sign all the same: the reason is recorded, and the run as it was
found is kept below as-run/.

A file of the run that was changed by hand is renamed to FILE.changed, a copy
goes below as-run/, and signing goes on.

` + exitCodes,
		Example: `  mahlstick sign heron/heron.md
  mahlstick sign heron/heron.md --despite "painted before the feed was corrected"`,
		Args: takes(1, 1, "one recipe"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := flags.check(); err != nil {
				return err
			}
			despite = strings.TrimSpace(despite)
			if cmd.Flags().Changed("despite") && despite == "" {
				return errors.New("--despite takes a reason")
			}
			return exitWith(sign(cmd, args[0], flags, wait, despite))
		},
	}
	flags.add(cmd)
	addWait(cmd, &wait)
	cmd.Flags().StringVar(&despite, "despite", "", "sign a run that is out of date or breaks a rule, for this reason")
	return cmd
}

func sign(cmd *cobra.Command, recipe string, flags jobFlags, wait time.Duration, despite string) int {
	out, errs := cmd.OutOrStdout(), cmd.ErrOrStderr()
	print, to := problem.Print, errs
	if flags.problems == "json" { // an editor reads standard output
		print, to, out = problem.PrintJSON, out, io.Discard
	}
	show := progressOn(cmd.ErrOrStderr())
	result, problems, err := runner.Run(recipe, runner.Options{Workers: flags.workers, Progress: show.line})
	show.clear()
	var signed runner.Signed
	if err == nil && !problems.HasErrors() {
		store := runner.LogbookOf(result.Studio)
		store.Wait = wait
		var more problem.List
		signed, more, err = result.Sign(store, despite)
		problems = append(problems, more...)
	}
	if perr := print(to, problems.Sorted()); perr != nil {
		return exitDisk
	}
	var postCommit *record.PostCommitError
	committed := errors.As(err, &postCommit)
	switch {
	case err != nil && !committed:
		return notSigned(errs, recipe, err)
	case problems.HasErrors():
		if flags.problems == "text" {
			fmt.Fprintf(errs, "%s: %s. Nothing was signed.\n", recipe, format.Count(countErrors(problems), "error"))
		}
		return exitProblems
	}
	if despite != "" && result.Record.Impression.Despite == "" {
		fmt.Fprintln(errs, "Nothing prevented signing; the reason is not recorded.")
	}
	listKept(errs, result.Folder(), signed.Kept)
	fmt.Fprintf(out, "Signed %s as impression %s in %s.\n", result.Job.Title, result.Record.Impression, filepath.Join(result.Folder(), record.Impressions, impression.Name(signed.Number)))
	if committed {
		fmt.Fprintf(errs, "mahlstick: %v\n  The impression is written. Run again when there is room.\n", postCommit)
		return exitDisk
	}
	return exitDone
}

// notSigned explains why there is no new impression, and is the exit code.
func notSigned(errs io.Writer, recipe string, err error) int {
	var unsound *runner.Unsound
	switch {
	case errors.As(err, &unsound):
		return refused(errs, recipe, unsound)
	case errors.Is(err, runner.ErrNotRun):
		fmt.Fprintf(errs, "%s has not been run, so there is nothing to sign. Run it first: mahlstick run %s\n", recipe, recipe)
		return exitProblems
	case errors.Is(err, record.ErrLocked):
		fmt.Fprintf(errs, "mahlstick: %s: %v\n", recipe, err)
	default:
		fmt.Fprintf(errs, "mahlstick: %s could not be signed: %v\n  No impression was written, and no file was changed.\n", recipe, err)
	}
	return exitDisk
}

// refused lists why a run was not signed, and is the exit code.
func refused(errs io.Writer, recipe string, u *runner.Unsound) int {
	code := exitDone
	list := func(head string, items []string, itsCode int) {
		if len(items) == 0 {
			return
		}
		code = max(code, itsCode)
		fmt.Fprintf(errs, "%s: %s\n", recipe, head)
		const most = 8
		for _, s := range items[:min(len(items), most)] {
			fmt.Fprintf(errs, "  %s\n", strings.ReplaceAll(s, "\n", "\n  "))
		}
		if more := len(items) - most; more > 0 {
			fmt.Fprintf(errs, "  and %d more\n", more)
		}
	}
	list("files of the run were changed by hand:", u.Changed, exitTampered)
	list("the run is out of date: the recipe has changed:", u.OutOfDate, exitDiffers)
	list("a program breaks a rule:", u.Failed, exitProof)
	fmt.Fprintf(errs, "Nothing was signed. Run it again: mahlstick run %s\nOr sign it all the same, with a reason: --despite \"...\"\n", recipe)
	return code
}

// listKept prints where the files are that were changed by hand.
func listKept(w io.Writer, folder string, kept []record.Kept) {
	for _, k := range kept {
		fmt.Fprintf(w, "%s was changed by hand. Your version is now %s.\n", filepath.Join(folder, k.Name), filepath.Join(folder, k.As))
	}
}
