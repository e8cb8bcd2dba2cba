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

// Slips of the pen in the small studio. Each is told with a mend that can be
// carried out; carried out as printed, the whole of check passes.
func TestMendsLeadToAJobThatRuns(t *testing.T) {
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
			for round := 0; ; round++ {
				_, problems, err := runner.Run(recipe, runner.Options{})
				if err != nil {
					t.Fatal(err)
				}
				if !problems.HasErrors() {
					if round == 0 {
						t.Fatal("the slip is no error")
					}
					break
				}
				if round == 4 {
					t.Fatalf("four mends were not enough: %v", problems)
				}
				mended := false
				for _, p := range problems.Sorted() {
					if p.Severity != problem.Error || mended {
						continue
					}
					edit(t, filepath.Join(studio, p.Place.Name()), func(data []byte) []byte {
						out, ok := p.Fixed()
						if mended = ok; ok {
							return out
						}
						return data
					})
				}
				if !mended {
					t.Fatalf("no mend that can be carried out: %v", problems)
				}
			}
			var out, errs bytes.Buffer
			if code := run([]string{"check", recipe}, &out, &errs); code != exitDone {
				t.Errorf("check ends with %d\n%s", code, &errs)
			}
		})
	}
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
