package main

import (
	"bytes"
	"os"
	"path/filepath"
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
		{"brushes/sable.md", "| 5.0 mm ", "| 5.0 "},
		{"brushes/sable.md", "| touch       ", "| tuch       "},
		{"brushes/sable.md", "| 0.22 mm ", "| 0.22 "},
		{"brushes/sable.md", "## Swatch: sable", "## Swach: sable"},
		{"brushes/sable.md", "| press  |", "| pres  |"},
		{"brushes/sable.md", "| 1.0 mm |", "| 1,000 mm |"},
		{"brushes/sable.md", "| 4.0 mm |", "| 4.0 mmm |"},
		{"machines/bench.md", "| reach z ", "| reech z "},
		{"machines/bench.md", "| 400 mm ", "| 400 "},
		{"machines/bench.md", "| 150 mm/s² ", "| 150 "},
		{"machines/bench.md", "| travel feed ", "| travl feed "},
		{"machines/bench.md", "## Machine: bench", "## Machin: bench"},
		{"pond/pond.md", "A5 landscape", "A5 landscap"},
		{"pond/pond.md", "| margin ", "| margn "},
		{"pond/pond.md", "| 8 mm         |", "| 8            |"},
		{"pond/pond.md", "## Layers", "## Layrs"},
		{"pond/pond.md", "## Registration", "## Registraton"},
		{"pond/pond.md", "750 mm/min |", "750 |"},
		{"pond/pond.md", "`slow`", "`slw`"},
		{"pond/pond.md", "sable.safe_press", "sable.safe_pres"},
		{"pond/pond.md", "atan(", "attan("},
		{"pond/pond.md", "| feed       |", "| fed        |"},
		{"pond/pond.md", "(bird.dxf)", "(brid.dxf)"},
		{"pond/pond.md", "../brushes/sable.md) | moss", "../brushes/sabel.md) | moss"},
	} {
		t.Run(strings.TrimSpace(slip.wrong), func(t *testing.T) {
			studio := t.TempDir()
			if err := os.CopyFS(studio, os.DirFS("../../testdata/studio")); err != nil {
				t.Fatal(err)
			}
			edit(t, filepath.Join(studio, slip.file), func(data []byte) []byte {
				if n := bytes.Count(data, []byte(slip.right)); n != 1 {
					t.Fatalf("%q stands %d times in %s", slip.right, n, slip.file)
				}
				return bytes.Replace(data, []byte(slip.right), []byte(slip.wrong), 1)
			})
			recipe := filepath.Join(studio, "pond", "pond.md")
			applyFixes(t, studio, recipe)
			var out, errs bytes.Buffer
			if code := run([]string{"check", recipe}, &out, &errs); code != exitDone {
				t.Errorf("check ends with %d\n%s", code, &errs)
			}
		})
	}
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
