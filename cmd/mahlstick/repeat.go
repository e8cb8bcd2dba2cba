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
		Short: "Evaluate past impressions again and compare byte for byte",
		Long: `Repeat evaluates the frozen inputs of impressions again and holds what comes out
against what was signed, byte for byte: the programs, the evaluated values, the
outcome of the checks, and the page with its picture. Without a name it takes
every impression of the studio. It writes nothing.

  exact    the same bytes
  looks    the page says the same and only looks otherwise
  differ   otherwise; the first line that differs is told, how far the marks
           are apart, and the reason if it can be known
  changed  a frozen file is not as it was signed; it is named

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
				// A logbook that cannot be written to can still be read.
				fmt.Fprintf(cmd.ErrOrStderr(), "mahlstick: what an interrupted run left could not be cleared away: %v\n", err)
			}
			ids, code := chosen(cmd.ErrOrStderr(), store.Dir, names)
			if len(ids) > 0 || code == exitDone {
				code = max(code, repeat(cmd, store.Dir, ids, workers))
			}
			if code != exitDone {
				return coded(code)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&studio, "studio", "", "the studio's folder; without it, the one around the working folder")
	cmd.Flags().IntVar(&workers, "workers", workers, "how many impressions are evaluated side by side")
	return cmd
}

// findStudio is the folder that was named, or the nearest upwards that is a
// studio or holds a logbook.
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
			return "", fmt.Errorf("no studio around %s: no folder upwards holds %s or logbook/; name one with --studio", here, recipe.StudioFile)
		}
	}
}

// chosen finds the impressions that are meant; all where none is named.
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
			if id.Job != wanted && (id.Gone > 0 || id.String() != wanted) {
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

// meant proposes a name that there is.
func meant(wanted string, all []impression.ID) string {
	var known []string
	for _, id := range all {
		if id.Gone == 0 {
			known = append(known, id.Job, id.String())
		}
	}
	if len(known) == 0 {
		return "; nothing has been signed yet"
	}
	// A recipe, or the folder of a job or an impression, is a name at one remove.
	short := strings.TrimPrefix(strings.Replace(wanted, "/"+record.Impressions+"/", "/", 1), "logbook/")
	for _, name := range []string{short, recipe.JobName(wanted)} {
		if slices.Contains(known, name) {
			return "; write: " + name
		}
	}
	if near, ok := problem.Nearest(wanted, known); ok {
		return "; write: " + near
	}
	return "; mahlstick repeat without a name lists all"
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
		row(out, wide, r)
	})
	show.clear()
	fmt.Fprintf(out, "%s: %s\n", format.Count(len(ids), "impression"), &sum)
	return sum.code
}

// row tells of one impression: a line of the table, and below it what is not
// as it was.
func row(out io.Writer, wide int, r *runner.Repeat) {
	grades := [4]string{"-", "-", "-", "-"}
	if c := r.Comparison; c != nil {
		grades = [4]string{c.Programs.String(), c.Values.String(), c.Checks.String(), c.Page.String()}
	}
	last := grades[3]
	if r.Tampered() {
		last = fmt.Sprintf("%-6s  changed", last)
	}
	fmt.Fprintf(out, "%-*s  %-8s  %-6s  %-6s  %s\n", wide, problem.Sanitize(r.ID.String()), grades[0], grades[1], grades[2], last)
	say := func(format string, args ...any) {
		text := strings.TrimRight(fmt.Sprintf(format, args...), "\n")
		fmt.Fprintf(out, "  %s\n", strings.ReplaceAll(text, "\n", "\n  "))
	}
	folder := problem.Sanitize("logbook/" + r.ID.Folder() + "/")
	if r.Gone {
		say("it is gone: %s is not there", strings.TrimSuffix(folder, "/"))
	}
	if r.Err != nil {
		say("it cannot be read: %v", r.Err)
	}
	if f := r.Frozen; f != nil {
		for _, c := range f.Changed {
			say("%s%s", folder, problem.Sanitize(c.String()))
		}
		if other := r.Misplaced(); other != "" {
			say("what stands there is %s: it was copied or moved there", problem.Sanitize(other))
		}
		if f.Record == nil || len(f.Changed) > 0 && r.Comparison == nil && r.Problems == "" {
			say("it was not evaluated, since that would not be what was signed")
		}
		for _, name := range f.Added {
			say("%s%s was put there and counts for nothing", folder, problem.Sanitize(name))
		}
	}
	if r.Problems != "" {
		say("its recipe is no longer taken:\n%s", r.Problems)
		say("%s", problem.Sanitize(r.Why))
	}
	if c := r.Comparison; c != nil {
		for _, d := range c.First {
			d.File = folder + problem.Sanitize(d.File)
			say("%s", d)
		}
		for _, a := range c.Apart {
			say("%s", problem.Sanitize(a.String()))
		}
		for _, w := range c.Why {
			say("%s", problem.Sanitize(w))
		}
		for _, d := range c.Altered {
			say("%s%s:%d\n  signed  %s\n  stands  %s", folder, problem.Sanitize(d.File), d.Line, d.Was, d.Is)
		}
		if f := r.Frozen; f != nil && len(f.Changed) > 0 && c.Same() {
			say("its frozen inputs still give exactly what was signed")
		}
	}
}

// tally counts what came out.
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
	}{{t.looks, "with a page that only looks otherwise"}, {t.differ, "differ"}, {t.changed, "changed since signing"}, {t.unread, "could not be read"}} {
		if part.n > 0 {
			text += fmt.Sprintf(", %d %s", part.n, part.word)
		}
	}
	return text
}
