package main

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner"
	"mahlstick/runner/proof"
	"mahlstick/runner/record"
	"mahlstick/runner/stage"
)

// checkedResult is a job whose programs were checked like this.
func checkedResult(checks ...stage.Check) *runner.Result {
	return &runner.Result{
		Studio: "studio",
		Job:    &model.Job{Name: "pond", Title: "Pond", Sheet: model.Sheet{Size: "A5 landscape"}},
		Checks: checks,
	}
}

var (
	held   = stage.Check{Program: "1-reeds.nc", Outcome: proof.Outcome{Name: "press", OK: true, Found: "4.100 mm", Allowed: "at most 5.000 mm"}}
	broken = stage.Check{Program: "2-bird.nc", Outcome: proof.Outcome{Name: "press", Found: "5.200 mm", Allowed: "at most 5.000 mm", Line: 31}}
)

// A result is written only if there is no error and no broken rule; the exit code
// is that of the reason.
func TestFinish(t *testing.T) {
	file := source.New("pond/pond.md", []byte("# Pond\n"))
	var wrong, unusual problem.List
	wrong.Errorf("missing-section", file.Place(0, 6), problem.Advise("write one"), "there is no section Sheet")
	unusual.Warnf("unusual", file.Place(0, 6), problem.Advise("usual is more"), "the margin is unusual")
	disk := errors.New("the disk is gone")
	for name, c := range map[string]struct {
		came     evaluated
		writing  error
		json     bool
		code     int
		written  bool
		out, err string // parts of what is printed
		neither  string // printed nowhere
	}{
		"all rules hold":     {came: evaluated{result: checkedResult(held)}, code: exitDone, written: true, out: "Wrote "},
		"with a warning":     {came: evaluated{result: checkedResult(held), problems: unusual}, code: exitDone, written: true, out: "Wrote ", err: "[unusual]"},
		"a rule is broken":   {came: evaluated{result: checkedResult(held, broken)}, code: exitProof, err: "2-bird.nc: press: found 5.200 mm, allowed at most 5.000 mm (line 31)\n", neither: "1-reeds.nc"},
		"the first is":       {came: evaluated{result: checkedResult(broken, held)}, code: exitProof, err: "Nothing was written.", neither: "Wrote"},
		"broken, in JSON":    {came: evaluated{result: checkedResult(broken)}, json: true, code: exitProof, err: "2-bird.nc: press"},
		"the recipe":         {came: evaluated{problems: wrong}, code: exitProblems, err: "pond.md: 1 error. Nothing was written."},
		"the recipe, JSON":   {came: evaluated{problems: wrong}, json: true, code: exitProblems, out: `"missing-section"`},
		"reading":            {came: evaluated{err: disk}, code: exitDisk, err: "the disk is gone"},
		"reading, in JSON":   {came: evaluated{err: disk}, json: true, code: exitDisk, err: "the disk is gone"},
		"writing":            {came: evaluated{result: checkedResult(held)}, writing: disk, code: exitDisk, written: true, err: "could not be written: the disk is gone", neither: "Wrote"},
		"another run":        {came: evaluated{result: checkedResult(held)}, writing: fmt.Errorf("pond: %w", record.ErrLocked), code: exitDisk, written: true, err: record.ErrLocked.Error(), neither: "Free some space"},
		"written, with JSON": {came: evaluated{result: checkedResult(held)}, json: true, code: exitDone, written: true, neither: "Wrote"},
	} {
		t.Run(name, func(t *testing.T) {
			var out, errs bytes.Buffer
			flags := jobFlags{problems: "text", workers: 1}
			if c.json {
				flags.problems = "json"
			}
			written := false
			code := finish(&out, &errs, "pond.md", flags, c.came, func(*runner.Result) ([]record.Kept, error) {
				written = true
				return nil, c.writing
			})
			if code != c.code {
				t.Errorf("code %d, want %d", code, c.code)
			}
			if written != c.written {
				t.Errorf("written: %t, want %t", written, c.written)
			}
			if !strings.Contains(out.String(), c.out) || !strings.Contains(errs.String(), c.err) {
				t.Errorf("printed\n%s\nand on standard error\n%s", &out, &errs)
			}
			if c.neither != "" && strings.Contains(out.String()+errs.String(), c.neither) {
				t.Errorf("printed %q:\n%s%s", c.neither, &out, &errs)
			}
			if c.json && strings.Contains(out.String(), "\n") && !strings.HasPrefix(out.String(), "{") {
				t.Errorf("not JSON alone: %s", &out)
			}
		})
	}
}

// Checking writes nothing, whatever comes out.
func TestFinishCheck(t *testing.T) {
	for code, checks := range map[int][]stage.Check{exitDone: {held}, exitProof: {held, broken}} {
		var out, errs bytes.Buffer
		if got := finish(&out, &errs, "pond.md", jobFlags{problems: "text", workers: 1}, evaluated{result: checkedResult(checks...)}, nil); got != code {
			t.Errorf("code %d, want %d", got, code)
		}
		if strings.Contains(out.String(), "Wrote") {
			t.Error(out.String())
		}
	}
}
