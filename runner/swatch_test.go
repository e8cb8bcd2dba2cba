package runner_test

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"mahlstick/recipe/model"
	"mahlstick/runner"
	"mahlstick/runner/proving"
	"mahlstick/runner/stage"
)

// swatchStudio is a studio with one swatch recipe, whose trials are given as the
// rows of its table.
func swatchStudio(t testing.TB, rows ...string) (recipe string) {
	t.Helper()
	files := fstest.MapFS{}
	for _, name := range []string{"studio.md", "machines/bench.md", "brushes/sable.md"} {
		data, err := os.ReadFile(filepath.Join("../testdata/studio", name))
		if err != nil {
			t.Fatal(err)
		}
		files[name] = &fstest.MapFile{Data: data}
	}
	files["brushes/rigger.md"] = &fstest.MapFile{Data: []byte("# Rigger\n\n## Brush: rigger\n\n| brush | |\n|---|---|\n| touch | 0.1 mm |\n")}
	files["swatches/sheet.md"] = &fstest.MapFile{Data: []byte("# Sheet\n\n## Sheet\n\n| sheet | |\n|---|---|\n| size | A4 portrait |\n\n" +
		"## Machine\n\n[bench](../machines/bench.md)\n\n## Trials\n\n" +
		"| trial | kind | brush | ink | feed | press | repeats |\n|---|---|---|---|---|---|---|\n" + strings.Join(rows, "\n") + "\n")}
	return filepath.Join(studioOf(t, fs.FS(files)), "swatches", "sheet.md")
}

var strokeStart = regexp.MustCompile(`(?m)^\(stroke \d+[,)]`)

// cutAfter is a program that the painter stops after a stroke: what was painted
// until then, and the end.
func cutAfter(t *testing.T, w stage.Written, strokes int) stage.Written {
	t.Helper()
	text := w.Program
	starts := strokeStart.FindAllIndex(text, -1)
	end := bytes.LastIndex(text, []byte("(end)\n"))
	if len(starts) != len(w.Gestures) || end < 0 {
		t.Fatalf("%d strokes in the text of %d", len(starts), len(w.Gestures))
	}
	cut := end
	if strokes < len(starts) {
		cut = starts[strokes][0]
		if pause := bytes.LastIndex(text[:cut], []byte("M0\n")); pause > starts[strokes-1][0] {
			// before the way to the place to rest, which the end goes too
			lift := bytes.LastIndex(text[:pause], []byte("\n("))
			for lift > 0 && text[bytes.LastIndexByte(text[:lift], '\n')+1] == '(' {
				lift = bytes.LastIndexByte(text[:lift], '\n')
			}
			cut = lift + 1
		}
	}
	out := w
	out.Program = append(bytes.Clone(text[:cut]), text[end:]...)
	out.Gestures = w.Gestures[:strokes]
	return out
}

// Wherever the painter stops, what was painted until then keeps all rules.
func TestEveryPrefixOfASwatchHolds(t *testing.T) {
	recipe := swatchStudio(t, swatchRows...)
	r := mustRun(t, recipe, runner.Options{})
	for _, l := range r.Layers {
		for n := 1; n <= len(l.Gestures); n++ {
			checkProven(t, cutAfter(t, l.Written, n), r.Job, n)
		}
	}
}

func checkProven(t *testing.T, w stage.Written, job *model.Job, n int) {
	t.Helper()
	proven, err := proving.Layers([]stage.Written{w}, job, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range proven[0].Outcomes {
		if !o.OK {
			t.Fatalf("%s after %d strokes: %s: %s, allowed %s\n%s", w.File, n, o.Name, o.Found, o.Allowed, w.Program)
		}
	}
}

// swatchRows are trials of all kinds, with a brush that was measured and one that
// was not.
var swatchRows = []string{
	"| ladder | ladder | [rigger](../brushes/rigger.md) | indigo | 900 mm/min | 4 mm | 2 |",
	"| ramp | ramp | [rigger](../brushes/rigger.md) | indigo | 900 mm/min | 4 mm | 1 |",
	"| rings | rings | [rigger](../brushes/rigger.md) | indigo | 900 mm/min | 3 mm | 1 |",
	"| turns | corners | [sable](../brushes/sable.md) | moss | 900 mm/min | 3.3333 mm | 1 |",
	"| feeds | feeds | [sable](../brushes/sable.md) | moss | 300 mm/min | 2 mm | 1 |",
	"| dots | dwell | [sable](../brushes/sable.md) | indigo | 900 mm/min | 1.0006 mm | 1 |",
	"| touch | touches | [sable](../brushes/sable.md) | moss | 900 mm/min | 0.6 mm | 1 |",
	"| tip 1 | tips | [sable](../brushes/sable.md) | moss | 900 mm/min | 0.5 mm | 2 |",
	"| tip 2 | tips | [rigger](../brushes/rigger.md) | indigo | 900 mm/min | 0.5 mm | 2 |",
	"| blot | set-off | [sable](../brushes/sable.md) | moss | 900 mm/min | 2 mm | 1 |",
	"| load | run-out | [sable](../brushes/sable.md) | moss | 900 mm/min | 2 mm | 1 |",
}
