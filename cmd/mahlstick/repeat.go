package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"mahlstick/recipe"
	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

func repeatCommand() *cobra.Command {
	var studio string
	workers := runtime.NumCPU()
	cmd := &cobra.Command{
		Use:   "repeat [JOB[/NN]]...",
		Short: "Make signed impressions again and compare them byte for byte",
		Long: `Repeat evaluates the signed inputs of impressions again and compares the result
with what was signed, byte for byte: the programs, the values, the results of
the checks, and the page with its picture. Without a name it repeats every
impression of the studio. It changes no file.

  exact    the same bytes
  looks    the page has the same text and only looks different
  differ   different; the first different line follows, how far apart the
           marks are, and the reason if it is known
  changed  a signed file was changed; its name follows

` + exitCodes,
		Example: `  mahlstick repeat                 every impression of the studio
  mahlstick repeat heron           those of one job
  mahlstick repeat heron/03        one impression`,
		RunE: func(cmd *cobra.Command, names []string) error {
			if workers < 1 {
				return fmt.Errorf("--workers takes a number from 1, not %d", workers)
			}
			root, err := findStudio(studio)
			if err != nil {
				return err
			}
			store := runner.LogbookOf(root)
			if err := store.Recover(); err != nil {
				// A logbook that is not writable can still be read.
				fmt.Fprintf(cmd.ErrOrStderr(), "mahlstick: an interrupted run could not be completed: %v\n", err)
			}
			ids, code := chosen(cmd.ErrOrStderr(), store.Dir, names)
			if len(ids) > 0 || code == exitDone {
				code = max(code, repeat(cmd, store.Dir, ids, workers))
			}
			return exitWith(code)
		},
	}
	cmd.Flags().StringVar(&studio, "studio", "", "the studio's folder (default: the one around the current folder)")
	cmd.Flags().IntVar(&workers, "workers", workers, "number of impressions to evaluate at the same time")
	return cmd
}

// findStudio is the named folder, or else the nearest one upwards that is a
// studio or has a logbook.
func findStudio(named string) (string, error) {
	if named != "" {
		info, err := os.Stat(named)
		if err == nil && !info.IsDir() {
			err = fmt.Errorf("%s is not a folder", named)
		}
		return named, err
	}
	here, err := filepath.Abs(".")
	if err != nil {
		return "", err
	}
	for dir := here; ; dir = filepath.Dir(dir) {
		for _, sign := range []string{recipe.StudioFile, "logbook"} {
			if _, err := os.Stat(filepath.Join(dir, sign)); err == nil {
				return dir, nil
			}
		}
		if filepath.Dir(dir) == dir {
			return "", fmt.Errorf("there is no studio around %s: no folder upwards has %s or logbook/. Write one: --studio DIR", here, recipe.StudioFile)
		}
	}
}

// chosen finds the named impressions, or all where there is no name.
func chosen(errs io.Writer, logbook string, names []string) ([]impression.ID, int) {
	code := exitDone
	all, err := impression.All(logbook)
	if err != nil { // of a part of the logbook
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		code = exitDisk
	}
	if len(names) == 0 {
		return all, code
	}
	var ids []impression.ID
	taken := map[impression.ID]bool{}
	for _, name := range names {
		wanted := strings.Trim(filepath.ToSlash(name), "/")
		found := false
		for _, id := range all {
			if id.Job != wanted && (id.GapEnd > 0 || id.String() != wanted) {
				continue
			}
			found = true
			if !taken[id] {
				taken[id] = true
				ids = append(ids, id)
			}
		}
		if !found {
			code = max(code, exitUse)
			fmt.Fprintf(errs, "mahlstick: there is no impression %s%s\n", name, meant(wanted, all))
		}
	}
	return ids, code
}

// meant suggests a name that exists.
func meant(wanted string, all []impression.ID) string {
	var known []string
	for _, id := range all {
		if id.GapEnd == 0 {
			known = append(known, id.Job, id.String())
		}
	}
	if len(known) == 0 {
		return "; nothing has been signed yet"
	}
	// Somebody may write the recipe, or the folder of a job or an impression.
	short := strings.TrimPrefix(strings.Replace(wanted, "/"+record.Impressions+"/", "/", 1), "logbook/")
	for _, name := range []string{short, recipe.JobName(wanted)} {
		if slices.Contains(known, name) {
			return "; write: " + name
		}
	}
	if near, ok := problem.Nearest(wanted, known); ok {
		return "; write: " + near
	}
	return "; to list all: mahlstick repeat"
}

func repeat(cmd *cobra.Command, logbook string, ids []impression.ID, workers int) int {
	out, errs := cmd.OutOrStdout(), cmd.ErrOrStderr()
	if len(ids) == 0 {
		fmt.Fprintln(out, "No impression to repeat.")
		return exitDone
	}
	before := runtime.GOMAXPROCS(workers)
	defer runtime.GOMAXPROCS(before)
	wide := len("impression")
	for _, id := range ids {
		wide = max(wide, len([]rune(problem.Sanitize(id.String()))))
	}
	show := progressOn(errs)
	var sum tally
	fmt.Fprintf(out, "%-*s  programs  values  checks  page\n", wide, "impression")
	runner.RepeatAll(logbook, ids, workers, func(n int) {
		show.line(fmt.Sprintf("%d of %s repeated", n, format.Count(len(ids), "impression")))
	}, func(r *runner.Repeat) {
		show.clear()
		sum.add(r)
		printRepeat(out, wide, r)
	})
	show.clear()
	fmt.Fprintf(out, "%s: %s\n", format.Count(len(ids), "impression"), &sum)
	return sum.code
}

// printRepeat prints one impression: a line of the table, and below it what is
// different or changed.
func printRepeat(out io.Writer, wide int, r *runner.Repeat) {
	grades := [4]string{"-", "-", "-", "-"}
	if c := r.Comparison; c != nil {
		grades = [4]string{c.Programs.String(), c.Values.String(), c.Checks.String(), c.Page.String()}
	}
	last := grades[3]
	if r.Tampered() {
		last = fmt.Sprintf("%-6s  changed", last)
	}
	fmt.Fprintf(out, "%-*s  %-8s  %-6s  %-6s  %s\n", wide, problem.Sanitize(r.ID.String()), grades[0], grades[1], grades[2], last)
	d := details{out: out, folder: problem.Sanitize("logbook/" + r.ID.Folder() + "/")}
	if r.Gone {
		d.line("it is missing: there is no %s", strings.TrimSuffix(d.folder, "/"))
	}
	if r.Err != nil {
		d.line("it cannot be read: %v", r.Err)
	}
	d.files(r)
	if r.Problems != "" {
		d.line("its recipe now has errors:\n%s", r.Problems)
		d.line("%s", problem.Sanitize(r.Why))
	}
	d.differences(r)
}

// details are the lines below an impression.
type details struct {
	out    io.Writer
	folder string // sanitized
}

// line prints a text, indented; a text may have several lines. The names of
// files in it are sanitized before, since a name may have a line end, too.
func (d details) line(format string, args ...any) {
	for text := range strings.Lines(strings.TrimRight(fmt.Sprintf(format, args...), "\n")) {
		fmt.Fprintf(d.out, "  %s\n", strings.TrimSuffix(text, "\n"))
	}
}

// files lists the signed files that were changed, and files that were added.
func (d details) files(r *runner.Repeat) {
	f := r.Frozen
	if f == nil {
		return
	}
	for _, c := range f.Changed {
		d.line("%s%s", d.folder, problem.Sanitize(c.String()))
	}
	if other := r.Misplaced(); other != "" {
		d.line("in its place is %s, copied or moved there", problem.Sanitize(other))
	}
	if f.Record == nil || len(f.Changed) > 0 && r.Comparison == nil && r.Problems == "" {
		d.line("it was not evaluated, because its files are not as signed")
	}
	for _, name := range f.Added {
		d.line("%s%s was added and has no effect", d.folder, problem.Sanitize(name))
	}
}

// differences lists how what was made again differs from what was signed.
func (d details) differences(r *runner.Repeat) {
	c := r.Comparison
	if c == nil {
		return
	}
	for _, first := range c.FirstDifferences {
		first.File = d.folder + problem.Sanitize(first.File)
		d.line("%s", first)
	}
	for _, marks := range c.Distances {
		d.line("%s", problem.Sanitize(marks.String()))
	}
	for _, w := range c.Why {
		d.line("%s", problem.Sanitize(w))
	}
	for _, a := range c.ChangedOnDisk {
		d.line("%s%s:%d\n  signed  %s\n  now     %s", d.folder, problem.Sanitize(a.File), a.Line, a.Was, a.Is)
	}
	if f := r.Frozen; f != nil && len(f.Changed) > 0 && c.Same() {
		d.line("its signed inputs still make exactly what was signed")
	}
}

// tally counts the outcomes.
type tally struct {
	exact, looks, differ, changed, unread int
	code                                  int
}

func (t *tally) add(r *runner.Repeat) {
	switch {
	case r.Tampered():
		t.changed++
		t.code = max(t.code, exitTampered)
	case r.Err != nil:
		t.unread++
		t.code = max(t.code, exitDisk)
	case r.Differs():
		t.differ++
		t.code = max(t.code, exitDiffers)
	case r.Comparison.Page == impression.Exact:
		t.exact++
	default:
		t.looks++
	}
}

func (t *tally) String() string {
	text := fmt.Sprintf("%d exact", t.exact)
	for _, part := range []struct {
		n    int
		word string
	}{{t.looks, "with a page that only looks different"}, {t.differ, "differ"}, {t.changed, "changed since signing"}, {t.unread, "could not be read"}} {
		if part.n > 0 {
			text += fmt.Sprintf(", %d %s", part.n, part.word)
		}
	}
	return text
}
