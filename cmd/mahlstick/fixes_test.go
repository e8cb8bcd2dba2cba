package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/runner"
)

// Typing mistakes in the small studio. Each is reported with a fix that can be
// applied; when it is, check passes.
func TestFixesLeadToAJobThatRuns(t *testing.T) {
	for _, slip := range []struct{ file, right, wrong string }{
		{"brushes/sable.md", "| safe press ", "| safe pres "},
		{"brushes/sable.md", "| widest mark ", "| widest mrk "},
		{"brushes/sable.md", "| touch       ", "| tuch       "},
		{"brushes/sable.md", "## Swatch: sable", "## Swach: sable"},
		{"brushes/sable.md", "| press  |", "| pres  |"},
		{"machines/bench.md", "| reach z ", "| reech z "},
		{"machines/bench.md", "| travel feed ", "| travl feed "},
		{"machines/bench.md", "## Machine: bench", "## Machin: bench"},
		{"pond/pond.md", "A5 landscape", "A5 landscap"},
		{"pond/pond.md", "| margin ", "| margn "},
		{"pond/pond.md", "## Layers", "## Layrs"},
		{"pond/pond.md", "## Registration", "## Registraton"},
		{"pond/pond.md", "sable.safe_press", "sable.safe_pres"},
		{"pond/pond.md", "atan(", "attan("},
		{"pond/pond.md", "(bird.dxf)", "(brid.dxf)"},
		{"pond/pond.md", "../brushes/sable.md) | moss", "../brushes/sabel.md) | moss"},
	} {
		t.Run(strings.TrimSpace(slip.wrong), func(t *testing.T) {
			studio, recipe := studioWith(t, slip.file, slip.right, slip.wrong)
			applyFixes(t, studio, recipe)
			var out, errs bytes.Buffer
			if code := run([]string{"check", recipe}, &out, &errs); code != exitDone {
				t.Errorf("check ends with %d\n%s", code, &errs)
			}
		})
	}
}

// Typing mistakes that may mean more than one thing: the fix asks, and no editor
// is offered a change.
func TestFixesAsk(t *testing.T) {
	for _, slip := range []struct{ file, right, wrong, question string }{
		{"brushes/sable.md", "| 5.0 mm ", "| 5.0 ", "did you mean 5.0 mm?"},
		{"brushes/sable.md", "| 0.22 mm ", "| 0.22 ", "did you mean 0.22 mm?"},
		{"brushes/sable.md", "| 1.0 mm |", "| 1,000 mm |", "did you mean 1.000 mm or 1000 mm?"},
		{"brushes/sable.md", "| 4.0 mm |", "| 4.0 mmm |", "did you mean mm?"},
		{"machines/bench.md", "| 400 mm ", "| 400 ", "did you mean 400 mm?"},
		{"machines/bench.md", "| 150 mm/s² ", "| 150 ", "did you mean 150 mm/s^2?"},
		{"pond/pond.md", "| 8 mm         |", "| 8            |", "did you mean 8 mm?"},
		{"pond/pond.md", "750 mm/min |", "750 |", "did you mean 750 mm/min?"},
		{"pond/pond.md", "`slow`", "`slw`", "did you mean slow?"},
		{"pond/pond.md", "| feed       |", "| fed        |", "did you mean feed?"},
	} {
		t.Run(strings.TrimSpace(slip.wrong), func(t *testing.T) {
			_, recipe := studioWith(t, slip.file, slip.right, slip.wrong)
			_, problems, err := runner.Run(recipe, runner.Options{})
			if err != nil {
				t.Fatal(err)
			}
			asked := slices.ContainsFunc(problems, func(p problem.Problem) bool {
				return p.Severity == problem.Error && p.Fix.Advice == slip.question && len(p.Edits()) == 0
			})
			if !asked || !problems.HasErrors() {
				t.Errorf("want the question %q, got %v", slip.question, problems)
			}
		})
	}
}

// studioWith is the small studio with a typing mistake, and its recipe.
func studioWith(t *testing.T, file, right, wrong string) (studio, recipe string) {
	t.Helper()
	studio = t.TempDir()
	if err := os.CopyFS(studio, os.DirFS("../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	edit(t, filepath.Join(studio, file), func(data []byte) []byte {
		if n := bytes.Count(data, []byte(right)); n != 1 {
			t.Fatalf("%q stands %d times in %s", right, n, file)
		}
		return bytes.Replace(data, []byte(right), []byte(wrong), 1)
	})
	return studio, filepath.Join(studio, "pond", "pond.md")
}

// applyFixes applies the first fix again and again, until there is no error.
func applyFixes(t *testing.T, studio, recipe string) {
	t.Helper()
	const most = 4
	for round := range most + 1 {
		_, problems, err := runner.Run(recipe, runner.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !problems.HasErrors() {
			if round == 0 {
				t.Fatal("the slip is no error")
			}
			return
		}
		fixed := false
		for _, p := range problems.Sorted() {
			if p.Severity != problem.Error || fixed {
				continue
			}
			edit(t, filepath.Join(studio, p.Place.Name()), func(data []byte) []byte {
				out, ok := p.Fixed()
				if fixed = ok; ok {
					return out
				}
				return data
			})
		}
		if !fixed {
			t.Fatalf("no fix that can be applied: %v", problems)
		}
	}
	t.Fatalf("%d fixes were not enough", most)
}

func edit(t *testing.T, name string, change func([]byte) []byte) {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, change(data), 0o644); err != nil {
		t.Fatal(err)
	}
}
