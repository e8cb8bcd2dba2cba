package notebooks_test

import (
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/recipe"
	"mahlstick/recipe/format"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/model"
	"mahlstick/runner"
)

// prose is the text of a lesson without line breaks.
func prose(t *testing.T, name string) string {
	t.Helper()
	data, err := fs.ReadFile(notebooks.Files, name)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(data)), " ")
}

func measuredBrush(t *testing.T, name string) (*model.Brush, string) {
	t.Helper()
	job, problems := recipe.Read(notebooks.Files, name)
	if len(problems) > 0 || len(job.Brushes) != 1 || job.Brushes[0].Measured == nil {
		t.Fatal(problems)
	}
	return job.Brushes[0], prose(t, name)
}

func banded(e measure.Estimate) string {
	return format.Page.Fixed(e.Value, 3) + " ± " + format.Page.Fixed(e.Expanded(), 3)
}

// The lesson on measuring states what its readings say.
func TestMeasuringLesson(t *testing.T) {
	b, text := measuredBrush(t, "guide/13-measuring.md")
	m := b.Measured
	lag := func(i int) string { return format.Page.Fixed(m.Lags[i].Lag.Value, 2) }
	if len(m.Lags) != 3 || !m.Grew || !m.Spread.Limited {
		t.Fatalf("%+v", m)
	}
	for _, want := range []string{
		"half-way between, " + banded(m.Touches[0]) + " mm from where", "the mark is " + format.Page.Fixed(b.WidestMark, 2) + " mm wide",
		"rung before, " + format.Page.Fixed(b.SafePress, 2) + " mm below the touch", "as much as " + banded(m.Play) + " mm more press",
		lag(0) + " mm at the lightest rings, " + lag(2) + " mm at the deepest", "The page says " + lag(2) + " mm",
		format.Page.Fixed(m.Spread.Fastest, 0) + " mm/min is the fastest", "One load paints " + format.Plain.Length(m.Load.Length.Value),
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the lesson does not say %q", want)
		}
	}
	readings, err := fs.ReadFile(notebooks.Files, "swatches/reed-round-readings.csv")
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{"\n3,ladder,35.25,286.75,90,-0.1,750,,0\n", "\n4,ladder,45.75,286.75,90,-0.05,750,,0.24\n", "\n78,rings,155.237,230.85,0,4,750,,7.76\n", ",2400,,0\n"} {
		if !strings.Contains(string(readings), line) {
			t.Errorf("the readings have no line %q", line)
		}
	}
	light, grown := map[string]bool{}, map[string]bool{}
	for _, line := range strings.Split(string(readings), "\n") {
		cells := strings.Split(line, ",")
		if len(cells) != 9 || cells[1] != "ladder" || cells[5] != "0.45" {
			continue
		}
		if len(cells[0]) == 2 && cells[0] > "46" && cells[0] != "52" {
			grown[cells[8]] = true
		} else {
			light[cells[8]] = true
		}
	}
	for w := range light {
		if w < "0.46" || w > "0.52" {
			t.Errorf("a light mark is %s mm wide", w)
		}
	}
	for w := range grown {
		if w < "0.64" {
			t.Errorf("after the deepest rung a light mark is %s mm wide", w)
		}
	}
}

// The lesson for a class states how its learners differ.
func TestClassLesson(t *testing.T) {
	b, text := measuredBrush(t, "guide/14-a-class.md")
	p := b.Measured.People
	far := 0
	for i, off := range p.Off {
		if max(off.Value, -off.Value) > max(p.Off[far].Value, -p.Off[far].Value) {
			far = i
		}
	}
	name := b.Measured.Names[far]
	spread := format.Page.Fixed(p.Between.Value, 3)
	for _, want := range []string{"People are spread by " + spread + " mm", "one person scatter by " + format.Page.Fixed(p.Within.Value, 3) + " mm",
		strings.ToUpper(name[:1]) + name[1:] + " differs most: " + format.Page.Fixed(p.Off[far].Value, 3) + " mm", "share = " + spread + "*mm / sqrt(5)"} {
		if !strings.Contains(text, want) {
			t.Errorf("the lesson does not say %q", want)
		}
	}
	if len(p.Off) != 5 || p.Off[0].Readings != 7 {
		t.Errorf("%+v", p)
	}
}

// The lesson on a sheet that was put back states what its readings say.
func TestPutBackLesson(t *testing.T) {
	job, problems := recipe.Read(notebooks.Files, "guide/15-put-back.md")
	if len(problems) > 0 || job.Layers[1].Seating == nil || job.Layers[0].Seating != nil {
		t.Fatal(problems)
	}
	f, text := job.Layers[1].Seating.Fit, prose(t, "guide/15-put-back.md")
	fixed := format.Page.Fixed
	// The sheet is not turned on the bed, and its grain lies along x.
	for _, want := range []string{
		"is turned by " + fixed(f.Turn*180/math.Pi, 2) + "°", "grown by " + fixed(100*(f.GrowthX-1), 2) + " % along", "and by " + fixed(100*(f.GrowthY-1), 2) + " % across",
		"that is " + fixed((f.GrowthY-1)*job.Sheet.Height, 2) + " mm between", "more than " + fixed(f.Worst().Size(), 2) + " mm away",
		"mm * tan(" + fixed(f.Turn*180/math.Pi, 2) + "*deg)", fixed(f.GrowthY-1, 4) + " * 105*mm",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the lesson does not say %q", want)
		}
	}
	r, _, err := runner.Run(lesson(t, "guide/15-put-back.md"), runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	page := ""
	for _, o := range r.Outputs {
		if o.Name == "index.html" {
			page = string(o.Data)
		}
	}
	for said, shown := range map[string]string{"known to ± 0.05 mm": "worst place of the picture</td><td class=\"n\">130.0</td><td class=\"n\">16.8</td><td class=\"n\">0.05<", "within 0.11 mm of the wash": "within 0.11 mm of “wash”"} {
		if !strings.Contains(text, said) || !strings.Contains(page, shown) {
			t.Errorf("lesson and page do not agree on %q", said)
		}
	}
}

// The lesson on a bowed bed states what its heights do, and what the page promises
// with them and without.
func TestBowedBedLesson(t *testing.T) {
	const name = "guide/16-bowed-bed.md"
	job, problems := recipe.Read(notebooks.Files, name)
	if len(problems) > 0 || job.Sheet.Surface == nil || !job.Sheet.Surface.Curved() {
		t.Fatal(problems)
	}
	text, fixed := prose(t, name), format.Page.Fixed
	fine := job.Brushes[1]
	file := lesson(t, name)
	if err := os.WriteFile(file, []byte(strings.Split(string(read(t, name)), "## Flatness")[0]), 0o600); err != nil {
		t.Fatal(err)
	}
	bare, _ := recipe.Read(os.DirFS(filepath.Dir(filepath.Dir(file))), name)
	for _, want := range []string{
		"point below " + fixed(bare.Brushes[1].Thinnest, 2) + " mm is sure, and " + fixed(bare.Brushes[1].Reserve, 2) + " mm of its safe press",
		"is left, " + fixed(job.Sheet.Surface.GreatestDoubt(), 2) + " mm, takes", "from " + fixed(fine.Thinnest, 2) + " mm are sure, and the reserve shrinks to " + fixed(fine.Reserve, 2) + " mm",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the lesson does not say %q", want)
		}
	}
	r, _, err := runner.Run(lesson(t, name), runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	page := ""
	for _, o := range r.Outputs {
		if o.Name == "index.html" {
			page = strings.ReplaceAll(string(o.Data), "&#43;", "+")
		}
	}
	for said, shown := range map[string]string{
		"is 0.32 mm to 1.14 mm higher": "+0.32 to +1.14 mm against", "up to 0.53 mm wider than": "narrower and 0.53 mm wider", "within ± 0.05 mm in 95": "within ± 0.05 mm in 95",
	} {
		if !strings.Contains(text, said) || !strings.Contains(page, shown) {
			t.Errorf("lesson and page do not agree on %q", said)
		}
	}
}

func read(t *testing.T, name string) []byte {
	t.Helper()
	data, err := fs.ReadFile(notebooks.Files, name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// lesson is the file of a lesson in a studio laid out anew.
func lesson(t *testing.T, name string) string {
	t.Helper()
	studio := t.TempDir()
	if err := os.CopyFS(studio, notebooks.Files); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(studio, filepath.FromSlash(name))
}
