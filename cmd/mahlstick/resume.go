package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/part"
	"mahlstick/runner/stage"
)

// resumeFlags say which part of a layer is to be painted.
type resumeFlags struct {
	layer           string
	from, to, again int
	at              string
}

func resumeCommand() *cobra.Command {
	var flags jobFlags
	var which resumeFlags
	var wait time.Duration
	cmd := &cobra.Command{
		Use:   "resume RECIPE --layer LAYER --from STROKE",
		Short: "Write a program for the rest of a layer, or for one stroke again",
		Long: `Resume writes a program that goes on where painting stopped: at the stroke after
the last good one, with all modes set. It pauses first so that you can load the
brush; if the layer's ink has a well, the machine goes there first, without a pause.
The program is read back and checked like any other. It goes into the job's
folder beside the others, is kept by later runs, and is frozen by sign.

With --at, the stroke is painted from there on: --at 40% means that four tenths
of its length are painted already. The new mark laps the old one by at most its
own width. With --to, the program ends after that stroke. With --again, it
paints one stroke once more.

The strokes that are on the sheet already must be those that the recipe paints
now: if the drawing, the order or the brush's curve has changed since the run,
nothing is written. A new tip offset, feed or height changes no mark, so change
these first if the brush has slipped.

Resume lists where the strokes begin: compare the first with the sheet before
you start the program. It prints a row for Results, so that it is written down
which program painted what. Its last line says how to start the program.

` + exitCodes,
		Example: `  mahlstick resume heron/heron.md --layer slate --from 61
  mahlstick resume heron/heron.md --layer slate --from 61 --at 40% --to 80
  mahlstick resume heron/heron.md --layer slate --again 61`,
		Args: takes(1, 1, "one recipe"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := flags.check(); err != nil {
				return err
			}
			p, err := which.part()
			if err != nil {
				return err
			}
			code, err := resume(cmd, args[0], flags, which.layer, p, wait)
			if err != nil {
				return err
			}
			return exitWith(code)
		},
	}
	flags.add(cmd)
	addWait(cmd, &wait)
	cmd.Flags().StringVar(&which.layer, "layer", "", "`LAYER` that was interrupted; not needed if there is only one")
	cmd.Flags().IntVar(&which.from, "from", 0, "first `STROKE` to paint: the one after the last good one")
	cmd.Flags().StringVar(&which.at, "at", "", "`SHARE` of that stroke that is painted already, such as 40%")
	cmd.Flags().IntVar(&which.to, "to", 0, "last `STROKE` to paint, if not the last of the layer")
	cmd.Flags().IntVar(&which.again, "again", 0, "paint only this `STROKE`, once more")
	return cmd
}

// part is the part that the flags ask for; a To of 0 is the last stroke.
func (f resumeFlags) part() (p part.Part, err error) {
	switch {
	case f.again != 0 && (f.from != 0 || f.to != 0):
		return p, errors.New("--again paints one stroke; use --from and --to for several")
	case f.again != 0:
		p.From, p.To = f.again, f.again
	case f.from == 0:
		return p, errors.New("resume takes the stroke to go on with, such as --from 61")
	default:
		p.From, p.To = f.from, f.to
	}
	if f.at != "" {
		var ok bool
		if p.At, ok = part.ParseShare(f.at); !ok {
			return p, fmt.Errorf("--at takes the share of the stroke that is painted, such as 40%%, not %q", f.at)
		}
	}
	return p, nil
}

// resume writes the program of a part, and is the exit code. The error is wrong
// use.
func resume(cmd *cobra.Command, recipe string, flags jobFlags, layer string, p part.Part, wait time.Duration) (int, error) {
	out, errs := cmd.OutOrStdout(), cmd.ErrOrStderr()
	print, to := problem.Print, errs
	if flags.problems == "json" { // an editor reads standard output
		print, to, out = problem.PrintJSON, out, io.Discard
	}
	show := progressOn(errs)
	result, problems, err := runner.Run(recipe, runner.Options{Workers: flags.workers, Progress: show.line})
	show.clear()
	if perr := print(to, problems.Sorted()); perr != nil {
		return exitDisk, nil
	}
	switch {
	case err != nil:
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk, nil
	case problems.HasErrors():
		if flags.problems == "text" {
			fmt.Fprintf(errs, "%s: %s. Nothing was written.\n", recipe, format.Count(countErrors(problems), "error"))
		}
		return exitProblems, nil
	}
	if layer == "" && len(result.Layers) == 1 {
		layer = result.Layers[0].Model.Name
	}
	if layer == "" {
		return exitUse, noLayer(result)
	}
	resumed, err := runner.Resume(result, layer, p)
	var wrong *runner.ErrPart
	if errors.As(err, &wrong) {
		return exitUse, wrong
	}
	if err != nil {
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk, nil
	}
	store := runner.LogbookOf(result.Studio)
	store.Wait = wait
	switch changed, err := runner.ChangedSince(result, store, resumed); {
	case errors.Is(err, runner.ErrNotRun):
		fmt.Fprintf(errs, "%s has not been run, so there is nothing to resume. Run it first: mahlstick run %s\n", recipe, recipe)
		return exitProblems, nil
	case err != nil:
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return exitDisk, nil
	case len(changed) > 0:
		fmt.Fprintf(errs, "%s: the job has changed since it was run:\n", recipe)
		for _, text := range changed {
			fmt.Fprintf(errs, "  %s\n", strings.ReplaceAll(text, "\n", "\n  "))
		}
		fmt.Fprintf(errs, "Nothing was written. Take the changes back to paint the rest of this sheet, or paint a new one.\n")
		return exitDiffers, nil
	}
	return writeResumed(out, errs, recipe, result, resumed, func() error {
		kept, err := runner.WriteResumed(result, store, resumed)
		for _, k := range kept {
			fmt.Fprintf(errs, "The earlier %s is now %s.\n", filepath.Join(result.Folder(), k.Name), filepath.Join(result.Folder(), k.As))
		}
		return err
	}), nil
}

// noLayer asks which layer is meant.
func noLayer(result *runner.Result) error {
	var names []string
	for _, l := range result.Layers {
		names = append(names, l.Model.Name)
	}
	return fmt.Errorf("--layer takes the layer that was interrupted, one of: %s", strings.Join(names, ", "))
}

// writeResumed writes a resumed program that keeps all rules, and tells what it
// paints. It is the exit code.
func writeResumed(out, errs io.Writer, recipe string, result *runner.Result, r *runner.Resumed, write func() error) int {
	if r.Failed() || result.Failed() {
		for _, o := range r.Outcomes {
			if !o.OK {
				fmt.Fprintf(errs, "%s: %s: found %s, allowed %s%s\n", r.File, o.Name, o.Found, o.Allowed, where(o.Line))
			}
		}
		fmt.Fprintf(errs, "%s: a program broke a rule when it was read back. Nothing was written.\n", recipe)
		return exitProof
	}
	if err := write(); err != nil {
		notWritten(errs, recipe, result.Folder(), err)
		return exitDisk
	}
	strokes := fmt.Sprintf("strokes %d to %d of the layer %q", r.From, r.To, r.Layer)
	if r.From == r.To {
		strokes = fmt.Sprintf("stroke %d of the layer %q", r.From, r.Layer)
	}
	if r.At > 0 {
		strokes += fmt.Sprintf(", stroke %d from %s on", r.From, r.Share())
	}
	fmt.Fprintf(out, "Wrote %s: %s; %s of marks, %s. Read back: all %d rules hold.\n", filepath.Join(result.Folder(), r.File), strokes,
		format.Plain.Length(r.Figures.Length), format.Plain.Duration(r.Figures.Seconds), len(r.Outcomes))
	fmt.Fprintln(out, "Before you start it, compare where its first stroke begins with the sheet:")
	fmt.Fprintln(out)
	strokeMap(out, r)
	fmt.Fprintf(out, "\nWhen it is painted, write under Results:\n\n")
	at := ""
	if r.At > 0 {
		at = r.Share()
	}
	cells := []string{r.Layer, fmt.Sprint(r.From), at, fmt.Sprint(r.To), r.File}
	row := func(cells []string) {
		for i, c := range cells {
			fmt.Fprintf(out, "| %s ", c)
			if i == len(cells)-1 {
				fmt.Fprintln(out, "|")
			}
		}
	}
	row([]string{"layer", "from", "at", "to", "file"})
	fmt.Fprintln(out, "|---|---|---|---|---|")
	row(cells)
	fmt.Fprintln(out)
	toStart(out, result, r.Proven)
	return exitDone
}

// toStart says what is done by hand before a program that goes on with a layer. Its
// last line names the program to start.
func toStart(w io.Writer, result *runner.Result, p stage.Proven) {
	m, f := &result.Job.Machine, format.Plain
	if p.Model.Well != nil {
		fmt.Fprintln(w, "If the brush was taken out: ink its tip, and touch off Z wet.")
		fmt.Fprintln(w, "The program does not wait: the machine goes straight to its well to load the brush, so keep hands away.")
	} else {
		fmt.Fprintln(w, "If the brush was taken out: load it, and touch off Z wet.")
		fmt.Fprintf(w, "The program first waits at X %s, Y %s: load the brush again there, and resume.\n", f.Number(m.RestX, 2), f.Number(m.RestY, 2))
	}
	file := filepath.Join(result.Folder(), p.File)
	if c := p.Motion.Clamps; c != nil && c.FromRest {
		fmt.Fprintf(w, "First move the lifted brush by hand, clear of the clamps, to X %s, Y %s (Z %s or higher). Then start %s.\n",
			f.Number(m.RestX, 2), f.Number(m.RestY, 2), f.Number(m.SafeHeight, 2), file)
		return
	}
	fmt.Fprintf(w, "Lift the brush by hand, then start %s.\n", file)
}

// mapRows is how many strokes of a part are listed; of more, the first and the
// last are.
const mapRows = 24

// strokeMap lists the strokes of a resumed program with their lines in it.
func strokeMap(w io.Writer, r *runner.Resumed) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(t, "stroke\tline\tfrom x, mm\ty, mm\tlength, mm\twidest, mm\t\n")
	n := len(r.Measures.Strokes)
	for i, s := range r.Measures.Strokes {
		if n > mapRows && i == mapRows-1 && i < n-1 {
			fmt.Fprintf(t, "…\t\t\t\t\t\t\n")
		}
		if n > mapRows && i >= mapRows-1 && i < n-1 {
			continue
		}
		start := r.Marks[i][0]
		fmt.Fprintf(t, "%d\t%d\t%s\t%s\t%s\t%s\t\n", r.From+i, s.StartLine, format.Plain.Fixed(start.X, 1), format.Plain.Fixed(start.Y, 1),
			format.Plain.Fixed(s.Length, 1), format.Plain.Fixed(s.Widest, 2))
	}
	t.Flush()
}
