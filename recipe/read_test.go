package recipe_test

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/working"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

// mustRead reads a recipe that has no errors.
func mustRead(t testing.TB, root fs.FS, name string) (*model.Job, problem.List) {
	t.Helper()
	job, list := recipe.Read(root, name)
	if list.HasErrors() {
		t.Fatal(list)
	}
	return job, list
}

func TestHeron(t *testing.T) {
	job, list := mustRead(t, studio(t), "heron/heron.md")
	if len(list) > 0 {
		t.Error(list)
	}
	if job.Name != "heron" || job.Title != "Heron at first light" || job.Edition != 30 {
		t.Errorf("%q %q %d", job.Name, job.Title, job.Edition)
	}
	var files []string
	for _, f := range job.Files {
		files = append(files, f.Name)
	}
	if diff := cmp.Diff([]string{"heron/heron.md", "papers/hot-pressed.md", "machines/bench-router.md", "brushes/broad.md", "brushes/fine-sable.md"}, files); diff != "" {
		t.Error(diff)
	}
	s := job.Sheet
	if s.Size != "A4 portrait" || s.Width != 210 || s.Height != 297 || s.Margin != 8 || s.Paper != "Hot-pressed" || s.Grain != "long" || s.Lay != model.LowerLeft || s.Turned != 0 {
		t.Errorf("%+v", s)
	}
	m := job.Machine
	if m.Title != "Bench router" || m.ReachX != 280 || m.ReachY != 400 || m.ReachZ != 60 || m.SafeHeight != 6 || m.TravelFeed != 2400 ||
		m.LoweringFeed != 300 || m.ZFeed != 500 || m.Acceleration != 150 || m.Bed != 0.2 || m.Decimals != 3 {
		t.Errorf("%+v", m)
	}
	if len(job.Layers) != 2 || len(job.Brushes) != 2 || len(job.Marks) != 1 {
		t.Fatalf("%d layers, %d brushes, %d marks", len(job.Layers), len(job.Brushes), len(job.Marks))
	}
	reeds, bird := job.Layers[0], job.Layers[1]
	if reeds.Name != "reeds" || reeds.Drawing != "heron/reeds.dxf" || reeds.Brush != job.Brushes[0] || reeds.Ink != (model.Ink{Name: "ochre", Hex: "#c08a3e"}) ||
		reeds.Feed != 750 || reeds.Unit.Name != "" || reeds.Overlap != 0.15 || !reeds.Hairlines || reeds.Width != nil || reeds.Tolerance != 0.02 || reeds.Gap != 0.05 {
		t.Errorf("%+v", reeds)
	}
	if bird.Unit.Name != "cm" || bird.Unit.MM != 10 || bird.Feed != 600 || bird.OffsetX != 0.2 || bird.OffsetY != 0 || bird.Brush.Name != "fine_sable" || bird.Ink.Hex != "#1d1b1a" {
		t.Errorf("%+v", bird)
	}
	if mark := job.Marks[0]; mark.Name != "corner" || mark.X != 15 || mark.Y != 15 || mark.Size != 8 || mark.Place.String() != "heron/heron.md:18:3" {
		t.Errorf("%+v", mark)
	}
	fine := job.Brushes[1]
	for press, width := range map[float64]float64{0: 0, 0.5: 0.48, 2: 1.08, 5: 2.4} {
		got, err := fine.Curve.WidthAt(press)
		if err != nil || got != width {
			t.Errorf("width at %v is %v, %v", press, got, err)
		}
	}
	if fine.Title != "fine sable" || fine.File != "brushes/fine-sable.md" || fine.WidestMark != 2.4 || fine.SafePress != 5 || fine.Touch != 0.1 {
		t.Errorf("%+v", fine)
	}
	if len(job.Results) != 1 || job.Results[0].Heading != "Impression 1, 2026-11-24" || len(job.Results[0].Strip) != 1 ||
		job.Results[0].Strip[0].Asked != 0.6 || job.Results[0].Strip[0].Measured != 0.66 || !strings.Contains(job.Results[0].HTML, "<img src=\"photos/1.png\"") {
		t.Errorf("%+v", job.Results)
	}
}

// Rows of widths under Results are read with their layer and doubt, and left out of the
// text, because the page draws them; they belong to the heading above them.
func TestWidthsOfSheets(t *testing.T) {
	root := studio(t)
	text := string(root["heron/heron.md"].Data) + "\n### Sheet 2\n\n| layer | press (mm) | asked (mm) | measured |\n|---|---|---|---|\n| BIRD | 1.26 | 0.92 | 1.04 ± 0.02 mm |\n| reeds | 2 | 1 | 1.1 mm |\n"
	root["heron/heron.md"] = &fstest.MapFile{Data: []byte(text)}
	job, problems := recipe.Read(root, "heron/heron.md")
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	got := job.Results[len(job.Results)-1]
	if got.Heading != "Sheet 2" || got.HTML != "" || len(got.Strip) > 0 ||
		!slices.Equal(got.Widths, []model.WidthReading{{Layer: 1, Press: 1.26, Asked: 0.92, Measured: 1.04, U: 0.02}, {Layer: 0, Press: 2, Asked: 1, Measured: 1.1}}) {
		t.Errorf("%+v", got)
	}
}

// The taper of a brush of which the widest mark (2.8 mm) and the safe press
// (5.5 mm) are known: slant 5.675385 mm, base angle 75.718904°, half-angle
// 14.281096° (common practice, no source; recomputed). With u = 0.05 mm for the
// half width and 0.1 mm for the press the half-angle has u = 0.548918° (JCGM
// 100:2008, eq. 10).
func TestTaperOfTheHouse(t *testing.T) {
	root := studio(t)
	root["brushes/broad.md"] = &fstest.MapFile{Data: []byte("# Broad\n## Brush\n| brush | |\n|---|---|\n| widest mark | 2.8 ± 0.1 mm |\n| safe press | 5.5 ± 0.1 mm |\n")}
	job, _ := mustRead(t, root, "heron/heron.md")
	found := map[string]working.Working{}
	for _, w := range job.Workings {
		found[w.Name] = w
	}
	for name, want := range map[string]string{
		"broad.half_width": "1.400 ± 0.050 mm",
		"broad.slant":      "5.675 ± 0.098 mm",
		"broad.taper":      "14.28 ± 0.55°",
		"broad.base_angle": "75.72 ± 0.55°",
	} {
		if got := found[name]; got.Result != want || got.Place.Known() {
			t.Errorf("%s = %q, want %q", name, got.Result, want)
		}
	}
}

// Thinnest line: u of the touch 0.1 mm and a bed of ± 0.2 mm, u = 0.2/√3 mm,
// give a least press of 2.3·√(0.1² + 0.2²/3) = 0.3513 mm; at 14.5° of taper
// 0.18 mm of width (derived; the cone's width is 2·tan(taper)·press).
func TestThinnest(t *testing.T) {
	root := studio(t)
	widest := 2 * 5 * math.Tan(14.5*math.Pi/180)
	root["brushes/broad.md"] = &fstest.MapFile{Data: fmt.Appendf(nil, "# Broad\n## Brush\n| brush | |\n|---|---|\n| widest mark | %.6f mm |\n| safe press | 5 mm |\n", widest)}
	job, _ := mustRead(t, root, "heron/heron.md")
	press := 2.3 * math.Sqrt(0.01+0.04/3)
	near(t, "thinnest", job.Brushes[0].Thinnest, 2*math.Tan(14.5*math.Pi/180)*press, 1e-6)
	near(t, "thinnest", job.Brushes[0].Thinnest, 0.18, 0.005)
}

func TestPage(t *testing.T) {
	job, _ := mustRead(t, studio(t), "heron/heron.md")
	want := []model.Block{
		{Kind: model.Prose, HTML: "<p>Four layers, palest first, on hot-pressed A4. The reeds may run under the bird.</p>\n"},
		{Kind: model.SectionBlock, Section: model.Section{Word: "Sheet", Name: "Hot-pressed"}, Heading: "Sheet"},
		{Kind: model.SectionBlock, Section: model.Section{Word: "Machine", Name: "Bench router"}, Heading: "Machine", HTML: "<p><a href=\"../machines/bench-router.md\">bench router</a></p>\n"},
		{Kind: model.SectionBlock, Section: model.Section{Word: "Registration"}, Heading: "Registration"},
		{Kind: model.SectionBlock, Section: model.Section{Word: "Layers"}, Heading: "Layers"},
		{Kind: model.SectionBlock, Section: model.Section{Word: "Layers"}, Heading: "Layers", HTML: "<p>How wide may I draw? Half the widest mark over the safe press gives the taper of the tip,\nhere <em class=\"value\">taper = 13.50 ± 0.27°</em>; the brush's notebook says <em class=\"value\">fine_sable.flank = 5.1420 ± 0.0058 mm</em>.</p>\n"},
		{Kind: model.WorkingBlock, Names: []string{"half_width", "slant", "taper", "feed_slow"}},
		{Kind: model.SectionBlock, Section: model.Section{Word: "Results"}, Heading: "Results"},
	}
	if diff := cmp.Diff(want, job.Page); diff != "" {
		t.Error(diff)
	}
}

func TestProseWithValues(t *testing.T) {
	root := fstest.MapFS{}
	for name, file := range studio(t) {
		root[name] = file
	}
	text := strings.Replace(string(root["heron/heron.md"].Data), "here `taper`", "`Half Width`, `taper / 2`, `2*taper + base`, `fine_sable`, `mm`, `2 + 2`, `machine.safe_height`, `nothing`, `ls -l`, `feed_slow < 700*mm/min`", 1)
	root["heron/heron.md"] = &fstest.MapFile{Data: []byte(text)}
	job, _ := mustRead(t, root, "heron/heron.md")
	page := job.Page[5].HTML
	for _, want := range []string{
		"<em class=\"value\">Half Width = 1.200 ± 0.025 mm</em>", "<em class=\"value\">taper / 2 = 6.75 ± 0.14°</em>", "<code>2*taper + base</code>",
		"<code>fine_sable</code>", "<code>mm</code>", "<code>2 + 2</code>", "<em class=\"value\">machine.safe_height = 6 mm</em>", "<code>nothing</code>", "<code>ls -l</code>",
		"<em class=\"value\">feed_slow &lt; 700*mm/min = yes</em>",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s in %s", want, page)
		}
	}
}

// Every row states its value or its default, and what was overridden.
func TestFacts(t *testing.T) {
	root := studio(t)
	text := strings.Replace(string(root["heron/heron.md"].Data), "[bench router](../machines/bench-router.md)",
		"[bench router](../machines/bench-router.md)\n\n| machine | |\n|---|---|\n| bed | ± 0.05 mm |\n| z feed | 600 mm/min |\n\n## Brush: fine sable\n| brush | |\n|---|---|\n| safe press | 4.5 mm |\n", 1)
	root["heron/heron.md"] = &fstest.MapFile{Data: []byte(text)}
	job, list := mustRead(t, root, "heron/heron.md")
	if len(list) > 0 {
		t.Error(list)
	}
	type row struct{ Section, Word, Name, Value, Was, Place, WasPlace string }
	var got []row
	defaults := 0
	for _, f := range job.Facts {
		if f.Default {
			defaults++
			if f.Place.Known() {
				t.Errorf("%+v", f)
			}
		} else if !f.Place.Known() {
			t.Errorf("%+v has no place", f)
		}
		if f.Was != "" {
			got = append(got, row{f.Section.String(), f.Word, f.Name, f.Value, f.Was, f.Place.String(), f.WasPlace.String()})
		}
	}
	want := []row{
		{"Machine: Bench router", "z feed", "machine.z_feed", "600 mm/min", "500 mm/min", "heron/heron.md:18:12", "machines/bench-router.md:11:19"},
		{"Machine: Bench router", "bed", "machine.bed", "± 0.05 mm", "± 0.2 mm", "heron/heron.md:17:9", "machines/bench-router.md:13:19"},
		{"Brush: fine sable", "safe press", "fine_sable.safe_press", "4.5 mm", "5.0 mm", "heron/heron.md:23:16", "brushes/fine-sable.md:6:17"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if defaults < 25 {
		t.Errorf("only %d defaults are listed", defaults)
	}
	if job.Machine.Bed != 0.05 || job.Machine.ReachX != 280 || job.Brushes[1].SafePress != 4.5 || job.Brushes[1].WidestMark != 2.4 {
		t.Errorf("%+v %+v", job.Machine, job.Brushes[1])
	}
	if w, err := job.Brushes[1].Curve.WidthAt(4.5); err != nil || w != 2.4 {
		t.Errorf("the curve keeps the old end: %v, %v", w, err)
	}
}

func TestJobName(t *testing.T) {
	for name, want := range map[string]string{
		"heron/heron.md": "heron", "heron.md": "heron", "a/b.md": "a/b", "a/b/b.md": "a/b", "heron/night.md": "heron/night", "notes": "notes",
	} {
		if got := recipe.JobName(name); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

// On a real disk: the studio's root is found upwards, and symbolic links that
// leave it are refused.
func TestOpen(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "studio"), os.DirFS("testdata/studio")); err != nil {
		t.Fatal(err)
	}
	root := filepath.Join(dir, "studio")
	s, name, err := recipe.Open(filepath.Join(root, "heron", "heron.md"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if name != "heron/heron.md" || s.Dir != root {
		t.Errorf("%s in %s", name, s.Dir)
	}
	mustRead(t, s.FS, name)

	outside := filepath.Join(dir, "outside.md")
	if err := os.WriteFile(outside, []byte("# Fine sable\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	sable := filepath.Join(root, "brushes", "fine-sable.md")
	inside := filepath.Join(root, "brushes", "kept.md")
	if err := os.Rename(sable, inside); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("kept.md", sable); err != nil {
		t.Fatal(err)
	}
	mustRead(t, s.FS, name)
	if err := os.Remove(sable); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, sable); err != nil {
		t.Fatal(err)
	}
	_, list := recipe.Read(s.FS, name)
	checkCodes(t, list, "link-refused heron/heron.md:24:52 brushes/fine-sable.md is a symbolic link that leads out of the studio: a notebook reads only files of its studio")

	for target, how := range map[string]string{"missing.md": "leads nowhere", "fine-sable.md": "leads back to itself"} {
		if err := errors.Join(os.Remove(sable), os.Symlink(target, sable)); err != nil {
			t.Fatal(err)
		}
		_, list := recipe.Read(s.FS, name)
		checkCodes(t, list, "link-refused heron/heron.md:24:52 brushes/fine-sable.md is a symbolic link that "+how+": a notebook reads only files of its studio")
	}

	alone := t.TempDir()
	if err := os.WriteFile(filepath.Join(alone, "a.md"), []byte("# A\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	s2, name, err := recipe.Open(filepath.Join(alone, "a.md"))
	if err != nil {
		t.Fatal(err)
	}
	defer s2.Close()
	if s2.Dir != alone || name != "a.md" {
		t.Errorf("%s in %s", name, s2.Dir)
	}
	if _, _, err := recipe.Open(filepath.Join(alone, "missing", "a.md")); err == nil {
		t.Error("a folder that is not there was opened")
	}
}

// checkCodes compares the errors and warnings as "code place message".
func checkCodes(t *testing.T, list problem.List, want ...string) {
	t.Helper()
	var got []string
	for _, p := range list {
		got = append(got, string(p.Code)+" "+p.Place.String()+" "+p.Message)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestReadTwice(t *testing.T) {
	var first string
	for range 3 {
		job, list := recipe.Read(studio(t), "heron/heron.md")
		var b bytes.Buffer
		if err := problem.Print(&b, list); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%+v %+v %+v %+v", job.Facts, job.Workings, job.Page, job.Results)
		switch {
		case first == "":
			first = b.String()
		case first != b.String():
			t.Error(cmp.Diff(first, b.String()))
		}
	}
}
