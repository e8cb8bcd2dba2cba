package runner_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/runner"
	"mahlstick/runner/proof"
	"mahlstick/runner/proving"
	"mahlstick/runner/record"
)

const demo = "../notebooks/heron/heron.md"

func runDemo(t testing.TB) *runner.Result {
	t.Helper()
	r, problems, err := runner.Run(demo, runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		if p.Severity != problem.Hint {
			t.Errorf("%v", p)
		}
	}
	if r == nil {
		t.FailNow()
	}
	return r
}

// The demo is what the issue of its making asks for: four layers, crossing
// strokes with holes, two brushes, three units, and a painting that is what
// was drawn. The marks are drawn again from the text of the written programs
// alone, by the reader that shares no code with the writer, at 0.02 mm.
func TestDemo(t *testing.T) {
	r := runDemo(t)
	if r.Failed() {
		for _, c := range r.Checks {
			if !c.OK {
				t.Errorf("%s: %s: found %s, allowed %s", c.Program, c.Name, c.Found, c.Allowed)
			}
		}
	}
	if len(r.Layers) != 4 || len(r.Job.Brushes) != 2 {
		t.Errorf("%d layers with %d brushes", len(r.Layers), len(r.Job.Brushes))
	}
	units := map[string]int{}
	strokes, holes, drawn, refused := 0, 0, 0.0, 0.0
	for _, l := range r.Layers {
		units[l.Drawing.UnitName]++
		strokes += len(l.Plan.Gestures)
		drawn += l.Plan.Drawn
		refused += l.Refused
		for _, s := range l.Regions.Shapes {
			holes += len(s.Holes)
		}
		again, faults := proof.Read("", l.Program)
		if len(faults) > 0 {
			t.Errorf("layer %s: %v", l.Model.Name, faults)
		}
		cover, err := proving.Compare(again, l.Moved, &r.Job.Sheet, 0.02)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: covers %.3f %%, spills %.3f %%", l.Model.Name, 100*cover.Coverage, 100*cover.Excess)
		if cover.Coverage < 0.99 || cover.Excess > 0.01 {
			t.Errorf("layer %s covers %.4f and spills %.4f of what is drawn", l.Model.Name, cover.Coverage, cover.Excess)
		}
	}
	if units["mm"] != 2 || units["cm"] != 1 || units["in"] != 1 {
		t.Errorf("units %v, want two drawings in mm, one in cm, one in inches", units)
	}
	if strokes < 250 || holes < 3 {
		t.Errorf("%d strokes and %d holes", strokes, holes)
	}
	if refused > 0.02*drawn {
		t.Errorf("%.1f of %.1f mm² are refused", refused, drawn)
	}
}

// Every output but the record holds no path, no host and no clock; the record
// lists each of them with its hash.
func TestOutputs(t *testing.T) {
	r := runDemo(t)
	here, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	host, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range r.Outputs {
		text := string(o.Data)
		if strings.Contains(text, here) || len(host) > 5 && strings.Contains(text, host) {
			t.Errorf("%s holds a path or a name of this machine", o.Name)
		}
		if o.Name == record.RecordName {
			continue
		}
		if !strings.Contains(string(r.Record.JSON()), record.Hash(o.Data)) {
			t.Errorf("%s is not in the record", o.Name)
		}
	}
	again := runDemo(t)
	for i, o := range again.Outputs {
		if string(o.Data) != string(r.Outputs[i].Data) {
			t.Errorf("%s came out differently the second time", o.Name)
		}
	}
	alone, _, err := runner.Run(demo, runner.Options{Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	for i, o := range alone.Outputs {
		if string(o.Data) != string(r.Outputs[i].Data) {
			t.Errorf("%s depends on the number of workers", o.Name)
		}
	}
}

// BenchmarkDemo is the whole run of the demo, without writing it to the disk.
func BenchmarkDemo(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		runDemo(b)
	}
}
