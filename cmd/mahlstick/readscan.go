package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/scan"
	"mahlstick/runner/scan/raster"
	"mahlstick/runner/trial"
)

func isScan(name string) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".png", ".jpg", ".jpeg", ".tif", ".tiff":
		return true
	}
	return false
}

// isOtherPicture reports whether a file is named as a scan in a format that is not read.
func isOtherPicture(name string) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".gif", ".bmp", ".webp", ".heic", ".heif", ".avif", ".pdf":
		return true
	}
	return false
}

// readScans measures the marks of a recipe on scans of its sheet or sheets, and
// prints the filled table. Nothing is written.
func readScans(cmd *cobra.Command, names []string) error {
	errs := cmd.ErrOrStderr()
	scans, recipe := names[:len(names)-1], names[len(names)-1]
	if len(scans) == 0 || !strings.EqualFold(filepath.Ext(recipe), ".md") || !allScans(scans) {
		return fmt.Errorf("with a scan, read takes scans and then the recipe of the sheet, such as: mahlstick read scan.png swatches/sable.md")
	}
	result, err := runForScan(errs, recipe)
	if err != nil {
		return err
	}
	job := runner.Painted(result)
	if len(job.Readings) == 0 {
		return fmt.Errorf("%s has no marks to measure; --meaning measures its strokes: mahlstick read --meaning %s %s", recipe, scans[0], recipe)
	}
	values := make([]trial.Value, len(job.Readings))
	for i := range values {
		values[i].Remark = "not on a scan that was read"
	}
	worst := exitDone
	for _, name := range scans {
		worst = max(worst, readScan(errs, name, job, values))
	}
	if worst != exitDone {
		return exitWith(worst)
	}
	listUnread(errs, job.Readings, values)
	if _, err := cmd.OutOrStdout().Write(trial.Filled(job.Readings, values)); err != nil {
		return exitWith(exitDisk)
	}
	return nil
}

// runForScan runs a recipe whose sheet was scanned. Its problems are listed.
func runForScan(errs io.Writer, recipe string) (*runner.Result, error) {
	show := progressOn(errs)
	result, problems, err := runner.Run(recipe, runner.Options{Progress: show.line})
	show.clear()
	switch {
	case err != nil:
		fmt.Fprintf(errs, "mahlstick: %v\n", err)
		return nil, exitWith(exitDisk)
	case problems.HasErrors():
		if err := problem.Print(errs, problems.Sorted()); err != nil {
			return nil, exitWith(exitDisk)
		}
		fmt.Fprintf(errs, "%s: %s. No scan was read.\n", recipe, format.Count(countErrors(problems), "error"))
		return nil, exitWith(exitProblems)
	}
	return result, nil
}

func allScans(names []string) bool {
	return !slices.ContainsFunc(names, func(n string) bool { return !isScan(n) })
}

// layScan lays a scan on the sheet of a job. The sheet is nil where that failed, with
// the exit code.
func layScan(errs io.Writer, name string, job *scan.Job) (*scan.Sheet, int) {
	info, err := os.Stat(name)
	var data []byte
	switch {
	case err != nil:
	case !info.Mode().IsRegular():
		err = errors.New("it is not a file")
	case info.Size() > raster.MaxFile:
		err = fmt.Errorf("it has %d MB; the most that is read is %d MB", info.Size()>>20, raster.MaxFile>>20)
	default:
		data, err = os.ReadFile(name)
	}
	var at *os.PathError
	if errors.As(err, &at) {
		err = at.Err
	}
	if err != nil {
		fmt.Fprintf(errs, "mahlstick: %s cannot be read: %v\n", name, err)
		return nil, exitDisk
	}
	show := progressOn(errs)
	defer show.clear()
	step := func(what string) { show.line(name + ": " + what) }
	step("pixels")
	picture, err := raster.Decode(data)
	if err != nil {
		show.clear()
		fmt.Fprintf(errs, "mahlstick: %s: %v\n  To fix it: %s.\n", name, err, scanAgain(err))
		return nil, exitProblems
	}
	sheet, err := scan.Lay(picture, job, step)
	if err != nil {
		show.clear()
		fmt.Fprintf(errs, "mahlstick: %s: %v\n", name, err)
		var refused *scan.Refusal
		if errors.As(err, &refused) {
			fmt.Fprintf(errs, "  To fix it: %s.\n", refused.Fix)
		}
		return nil, exitProblems
	}
	show.clear()
	describe(errs, name, sheet)
	return sheet, exitDone
}

// scanAgain is what to do about a picture that cannot be decoded.
func scanAgain(err error) string {
	switch {
	case errors.Is(err, raster.ErrSmall):
		return "scan the whole sheet with 300 dpi or more"
	case errors.Is(err, raster.ErrBounds):
		return "scan again with fewer dpi, and not more than the sheet"
	}
	return "scan again as " + raster.Formats
}

// readScan measures the marks on one scan. It is the exit code.
func readScan(errs io.Writer, name string, job *scan.Job, values []trial.Value) int {
	sheet, code := layScan(errs, name, job)
	if sheet == nil {
		return code
	}
	show := progressOn(errs)
	defer show.clear()
	measured := sheet.Measure(func(what string) { show.line(name + ": " + what) })
	for _, m := range measured {
		if i := slices.IndexFunc(job.Readings, func(r trial.Reading) bool { return r.Number == m.Number }); i >= 0 {
			values[i] = trial.Value{MM: m.MM, U: m.U, OK: m.OK, Remark: m.Why}
		}
	}
	return exitDone
}

// describe says how a scan lies on its sheet.
func describe(errs io.Writer, name string, s *scan.Sheet) {
	number := func(v float64, decimals int) string { return format.Plain.Number(v, decimals) }
	g := s.Geometry()
	of := ""
	if s.Job.Sheets > 1 {
		of = fmt.Sprintf("sheet %d of %d, ", s.Number, s.Job.Sheets)
	}
	fmt.Fprintf(errs, "%s: %s%s dpi along x, %s along y, turned by %s°, shear %s°; blur %s mm; marks within %s mm of their places in the median.\n",
		name, of, number(g.DPIX, 1), number(g.DPIY, 1), number(g.Turn, 2), number(g.Shear, 2), number(s.Blur, 3), number(s.Scatter, 3))
}

// listUnread says how many marks were read, and why others were not.
func listUnread(errs io.Writer, readings []trial.Reading, values []trial.Value) {
	why := map[string][]int{}
	var order []string
	read := 0
	for i, v := range values {
		if v.OK {
			read++
			continue
		}
		if why[v.Remark] == nil {
			order = append(order, v.Remark)
		}
		why[v.Remark] = append(why[v.Remark], readings[i].Number)
	}
	fmt.Fprintf(errs, "%d of %s read.\n", read, format.Count(len(values), "length"))
	for _, w := range order {
		fmt.Fprintf(errs, "  Not read, because %s: %s\n", w, format.Ranges(why[w]))
	}
}
