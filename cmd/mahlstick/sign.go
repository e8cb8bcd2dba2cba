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
		Short: "Freeze what was run as the next numbered impression",
		Long: `Sign freezes a job as the next impression, in logbook/JOB/impressions/NN/: the
programs, the page, the painting, the record, and below inputs/ every file that
they were made from. Nothing in it is ever written again. A sheet may be signed
before or after it is painted; what went otherwise than planned is written
under Results in the recipe, and moves no program.

Where the recipe states an edition (a row of Sheet), the impressions are
numbered 1/10, 2/10, and so on, and there are no more than that.

What was run must be what the recipe gives now, and no rule may be broken;
--despite signs all the same, records the reason, and keeps what was run below
as-run/ beside what the recipe gives now.

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
			if code := sign(cmd, args[0], flags, wait, despite); code != exitDone {
				return coded(code)
			}
			return nil
		},
	}
	flags.add(cmd)
	cmd.Flags().DurationVar(&wait, "wait", 10*time.Second, "how long to wait for another run of the same job")
	cmd.Flags().StringVar(&despite, "despite", "", "sign although something speaks against it, for this reason")
	return cmd
}

func sign(cmd *cobra.Command, recipe string, flags jobFlags, wait time.Duration, despite string) int {
	out, errs := cmd.OutOrStdout(), cmd.ErrOrStderr()
	tell, to := problem.Print, errs
	if flags.problems == "json" { // what an editor reads comes on standard output
		tell, to, out = problem.PrintJSON, out, io.Discard
	}
	show := progressOn(cmd.ErrOrStderr())
	result, problems, err := runner.Run(recipe, runner.Options{Workers: flags.workers, Progress: show.line})
	show.clear()
	var id impression.ID
	if err == nil && !problems.HasErrors() {
		store := runner.LogbookOf(result.Studio)
		store.Wait = wait
		var more problem.List
		id, more, err = result.Sign(store, despite)
		problems = append(problems, more...)
	}
	if perr := tell(to, problems.Sorted()); perr != nil {
		return exitDisk
	}
	var unsound *runner.Unsound
	var postCommit *record.PostCommitError
	code := exitDone
	if errors.As(err, &postCommit) {
		fmt.Fprintf(errs, "mahlstick: %v\n  The impression is written. Run again when there is room.\n", postCommit)
		code, err = exitDisk, nil
	}
	switch {
	case errors.As(err, &unsound):
		return refused(errs, recipe, unsound)
	case errors.Is(err, runner.ErrNotRun):
		fmt.Fprintf(errs, "%s has not been run: there is nothing to sign. Run it first: mahlstick run %s\n", recipe, recipe)
		return exitDiffers
	case errors.Is(err, record.ErrLocked):
		fmt.Fprintf(errs, "mahlstick: %s: %v\n", recipe, err)
		return exitDisk
	case err != nil:
		fmt.Fprintf(errs, "mahlstick: %s could not be signed: %v\n  No impression was written, and what was there is untouched.\n", recipe, err)
		return exitDisk
	case problems.HasErrors():
		if flags.problems == "text" {
			fmt.Fprintf(errs, "%s: %s. Nothing was signed.\n", recipe, format.Count(countErrors(problems), "error"))
		}
		return exitProblems
	}
	signed := result.Record.Impression
	if despite != "" && signed.Despite == "" {
		fmt.Fprintln(errs, "Nothing spoke against it; the reason is not recorded.")
	}
	fmt.Fprintf(out, "Signed %s as impression %s in %s.\n", result.Job.Title, signed, filepath.Join(result.Folder(), record.Impressions, impression.Name(id.Number)))
	return code
}

// refused says why a run was not signed.
func refused(errs io.Writer, recipe string, u *runner.Unsound) int {
	code := exitDone
	list := func(head string, items []string, gravity int) {
		if len(items) == 0 {
			return
		}
		code = max(code, gravity)
		fmt.Fprintf(errs, "%s: %s\n", recipe, head)
		const most = 8
		for _, s := range items[:min(len(items), most)] {
			fmt.Fprintf(errs, "  %s\n", strings.ReplaceAll(s, "\n", "\n  "))
		}
		if more := len(items) - most; more > 0 {
			fmt.Fprintf(errs, "  and %d more\n", more)
		}
	}
	list("files of the run were changed since:", u.Changed, exitTampered)
	list("the run is stale; the recipe gives something else now:", u.Stale, exitDiffers)
	list("a program breaks a rule:", u.Failed, exitProof)
	fmt.Fprintf(errs, "Nothing was signed. Run it again: mahlstick run %s\nOr sign it all the same, with a reason: --despite \"...\"\n", recipe)
	return code
}
