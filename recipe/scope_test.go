package recipe_test

import (
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/working"
)

// withFiles is the test studio with the small recipe, changed (old => new, by
// turns), and further files.
func withFiles(t *testing.T, files map[string]string, edits ...string) fstest.MapFS {
	t.Helper()
	root := studio(t)
	text := reeds
	for i := 0; i < len(edits); i += 2 {
		if !strings.Contains(text, edits[i]) {
			t.Fatalf("no %q", edits[i])
		}
		text = strings.Replace(text, edits[i], edits[i+1], 1)
	}
	root["heron/reeds.md"] = &fstest.MapFile{Data: []byte(text)}
	for name, data := range files {
		root[name] = &fstest.MapFile{Data: []byte(data)}
	}
	return root
}

func workings(job *model.Job) map[string]working.Working {
	out := map[string]working.Working{}
	for _, w := range job.Workings {
		out[w.Name] = w
	}
	return out
}

func TestNamesOfEveryScript(t *testing.T) {
	job, _ := mustRead(t, withFiles(t, map[string]string{
		"brushes/筆.md": "# 細い 筆\n## Brush\n| brush | |\n|---|---|\n| widest mark | 2 mm |\n| safe press | 4 mm |\n",
	}, "[fine sable](../brushes/fine-sable.md)", "[細い 筆](../brushes/筆.md)", "| reeds |", "| Gro\u0308ße I |",
		"## Layers", "The width is `ÖFFNUNG`.\n```working\nO\u0308ffnung = 細い_筆.widest_mark * 2\n```\n\n## Layers"), "heron/reeds.md")
	if job.Layers[0].Name != "Größe I" || job.Brushes[0].Name != "細い_筆" || job.Brushes[0].Title != "細い 筆" {
		t.Errorf("%q %q", job.Layers[0].Name, job.Brushes[0].Name)
	}
	if w := workings(job)["öffnung"]; w.Result != "4 mm" || w.Needs[0] != "細い_筆.widest_mark" {
		t.Errorf("%+v", w)
	}
	if w := workings(job)["細い_筆.thinnest"]; w.Result == "" {
		t.Error("no thinnest line")
	}
}

// A name that cannot be written in a formula is still a name.
func TestUnreachableNames(t *testing.T) {
	job, _ := mustRead(t, withFiles(t, map[string]string{
		"brushes/3.md": "# 3 mm round\n## Brush\n| brush | |\n|---|---|\n| widest mark | 3 mm |\n| safe press | `2 * 2.5*mm` |\n",
	}, "[fine sable](../brushes/fine-sable.md)", "[3 mm round](../brushes/3.md)"), "heron/reeds.md")
	if b := job.Brushes[0]; b.Name != "3_mm_round" || b.SafePress != 5 || b.Thinnest <= 0 {
		t.Errorf("%+v", b)
	}
	all := workings(job)
	if all["brush.thinnest"].Result == "" || all["3.md:6"].Result != "5 mm" {
		t.Errorf("%v", all)
	}
}

// The formulas of a linked notebook see only that notebook: the job's own
// values change nothing there.
func TestNotebooksDoNotSeeTheJob(t *testing.T) {
	job, _ := mustRead(t, withFiles(t, nil, "## Layers",
		"## Brush: fine sable\n| brush | |\n|---|---|\n| widest mark | 3.0 mm |\n\nHere `mine`, there `fine_sable.flank`.\n```working\nmine = brush.widest_mark\n```\n\n## Layers"), "heron/reeds.md")
	all := workings(job)
	if all["mine"].Result != "3.0 mm" && all["mine"].Result != "3 mm" {
		t.Errorf("mine = %s", all["mine"].Result)
	}
	if got := all["fine_sable.flank"].Result; got != "5.1420 ± 0.0058 mm" {
		t.Errorf("the notebook's flank is %s", got)
	}
	if got := all["fine_sable.half_width"]; !strings.HasPrefix(got.Filled, "3.0 mm") {
		t.Errorf("the built-in formulas take %s", got.Filled)
	}
	_, list := recipe.Read(withFiles(t, map[string]string{
		"brushes/fine-sable.md": "# Fine sable\n## Brush\n| brush | |\n|---|---|\n| widest mark | `secret` |\n| safe press | 5 mm |\n",
	}, "## Layers", "`secret`\n```working\nsecret = 2*mm\n```\n\n## Layers"), "heron/reeds.md")
	checkCodes(t, list, `unknown-name brushes/fine-sable.md:5:18 "secret" is not defined`)
}

// Rows may rest on formulas, and formulas on the curve that those rows make.
func TestRowsFromFormulas(t *testing.T) {
	job, _ := mustRead(t, withFiles(t, map[string]string{
		"brushes/fine-sable.md": "# Fine sable\n## Brush\n| brush | |\n|---|---|\n| widest mark | `hair * 2` |\n| safe press | `brush.widest_mark * 2` |\n\n" +
			"## Swatch\n| press | width |\n|---|---|\n| `step` | `step/2` |\n\n```working\nback = press_for(brush, 0.6*mm)\nhair = 1.2*mm\nstep = 1*mm\n```\n",
	}), "heron/reeds.md")
	b := job.Brushes[0]
	if b.WidestMark != 2.4 || b.SafePress != 4.8 {
		t.Errorf("%+v", b)
	}
	if w, err := b.Curve.WidthAt(1); err != nil || w != 0.5 {
		t.Errorf("%v, %v", w, err)
	}
	if all := workings(job); !strings.HasPrefix(all["fine_sable.back"].Result, "1.") || len(all["fine_sable.hair"].UsedBy) != 1 || all["fine_sable.hair"].UsedBy[0] != "fine_sable.widest_mark" {
		t.Errorf("%+v %+v", all["fine_sable.back"], all["fine_sable.hair"])
	}
}

// A recipe may pull its own swatch for a linked brush, on its own paper.
func TestOwnSwatch(t *testing.T) {
	job, list := mustRead(t, withFiles(t, nil, "## Layers", "## Swatch: fine sable\n| press (mm) | width (mm) |\n|---|---|\n| 2 | 1.5 |\n\n## Layers"), "heron/reeds.md")
	if len(list) > 0 {
		t.Error(list)
	}
	b := job.Brushes[0]
	if w, _ := b.Curve.WidthAt(2); w != 1.5 || b.WidestMark != 2.4 || b.File != "heron/reeds.md" {
		t.Errorf("%v %+v", w, b)
	}
}

func TestStudioMachine(t *testing.T) {
	machine := "## Machine\n[bench router](../machines/bench-router.md)\n"
	root := withFiles(t, nil, machine, "The travel is `machine.reach_x`.\n")
	job, _ := mustRead(t, root, "heron/reeds.md")
	if job.Machine.ReachX != 280 || job.Files[len(job.Files)-1].Name != "machines/bench-router.md" {
		t.Errorf("%+v", job.Machine)
	}
	if !strings.Contains(job.Page[1].HTML+job.Page[0].HTML, "machine.reach_x = 280 mm") {
		t.Errorf("%+v", job.Page)
	}
	delete(root, recipe.StudioFile)
	_, list := recipe.Read(root, "heron/reeds.md")
	checkCodes(t, list, "missing-section heron/reeds.md:17:1 the recipe has no section Machine")
}

func TestFragments(t *testing.T) {
	two := "# Sables\n## Brush: fine\n| b | |\n|---|---|\n| widest mark | 2 mm |\n| safe press | 4 mm |\n\n## Brush: worn one\n| b | |\n|---|---|\n| widest mark | 3 mm |\n| safe press | 4 mm |\n"
	for fragment, want := range map[string]string{"#worn-one": "worn_one", "#brush-worn-one": "worn_one", "#fine": "fine"} {
		job, _ := mustRead(t, withFiles(t, map[string]string{"brushes/two.md": two}, "fine-sable.md", "two.md"+fragment), "heron/reeds.md")
		if job.Brushes[0].Name != want {
			t.Errorf("%s leads to %s", fragment, job.Brushes[0].Name)
		}
	}
}

// A notebook that two others link is read once.
func TestReadOnce(t *testing.T) {
	job, _ := mustRead(t, withFiles(t, nil, "| reeds |", "| moss | [m](bird.dxf) | [again](../heron/../brushes/fine-sable.md) | moss | 800 mm/min |\n| reeds |"), "heron/reeds.md")
	if len(job.Brushes) != 1 || job.Layers[0].Brush != job.Layers[1].Brush {
		t.Errorf("%d brushes", len(job.Brushes))
	}
	seen := map[string]int{}
	for _, f := range job.Files {
		seen[f.Name]++
	}
	if seen["brushes/fine-sable.md"] != 1 {
		t.Errorf("%v", seen)
	}
}

func TestLayerWords(t *testing.T) {
	job, list := mustRead(t, withFiles(t, map[string]string{"inks/indigo.md": "# Indigo\n## Ink\n| ink | |\n|---|---|\n| colour | indigo |\n"},
		"| layer | drawing | brush | ink | feed |\n|---|---|---|---|---|\n| reeds | [reeds](reeds.dxf) | [fine sable](../brushes/fine-sable.md) | ochre | 900 mm/min |",
		"| layer | drawing | drawing layer | unit | brush | ink | inside | overlap | hairlines | width | tolerance | gap | entries | check strip |\n"+
			"|---|---|---|---|---|---|---|---|---|---|---|---|---|---|\n"+
			"| a | [reeds](reeds.dxf) | LINES | in, not as the file says | [fine sable](../brushes/fine-sable.md) | [i](../inks/indigo.md) | Strokes | 0.2 | leave | `0.4*mm + corner.size*along/8` | 0.05 mm | 0.1 mm | longer | yes |\n"+
			"| b | [bird](bird.dxf) | | | fine sable | river mud #ABCDEF | | `1/4` | | 0.8 mm | | | | |"), "heron/reeds.md")
	if len(list) > 0 {
		t.Error(list)
	}
	a, b := job.Layers[0], job.Layers[1]
	if a.DrawingLayer != "LINES" || a.Unit.Name != "in" || a.Unit.MM != 25.4 || !a.Unit.Override || a.Ink != (model.Ink{Name: "Indigo", Hex: "#27375a"}) ||
		a.Inside != model.Strokes || a.Overlap != 0.2 || a.Hairlines || a.Tolerance != 0.05 || a.Gap != 0.1 || a.Entries != model.Longer || !a.CheckStrip {
		t.Errorf("%+v", a)
	}
	if w, err := a.Width.WidthAt(0, 0.5, 10, 20, 0); err != nil || w != 0.9 {
		t.Errorf("%v %v", w, err)
	}
	if b.Ink != (model.Ink{Name: "river mud", Hex: "#abcdef"}) || b.Overlap != 0.25 || !b.Hairlines || b.Brush != a.Brush {
		t.Errorf("%+v", b)
	}
	if w, err := b.Width.WidthAt(0, 0.5, 10, 20, 0); err != nil || w != 0.8 {
		t.Errorf("%v %v", w, err)
	}
}

func TestSheetWords(t *testing.T) {
	job, list := mustRead(t, withFiles(t, nil, "| size | A5 landscape |", "| Size | a3 Landscape |\n| LAY | Upper  Right |\n| turned | 270° |\n| grain | short |\n| paper | from the drawer |\n| margin | ½ in |\n| edition | 12 |"), "heron/reeds.md")
	if len(list) != 1 || list[0].Code != problem.RestOverSheet { // A3 fills the bed
		t.Error(list)
	}
	want := model.Sheet{Size: "A3 landscape", Width: 420, Height: 297, Margin: 12.7, Paper: "from the drawer", Grain: "short", Lay: model.UpperRight, Turned: 3, Misfit: 0.3, Place: job.Sheet.Place}
	if !reflect.DeepEqual(job.Sheet, want) || job.Edition != 12 {
		t.Errorf("%+v", job.Sheet)
	}
}

// All severities but errors let a job through; a list with an error never
// comes with silence about the reason.
func TestSeverities(t *testing.T) {
	_, list := recipe.Read(withFiles(t, nil, "900 mm/min", "90 mm/min"), "heron/reeds.md")
	if list.HasErrors() || len(list) != 1 || list[0].Severity != problem.Warning {
		t.Error(list)
	}
}

// The cells of a line have names, stated or not.
func TestCellsHaveNames(t *testing.T) {
	job, _ := mustRead(t, withFiles(t, nil, " | feed |\n|---|---|---|---|---|", " |\n|---|---|---|---|", " | 900 mm/min |", " |",
		"## Layers", "`slow` `right` `above`\n```working\nslow = reeds.feed / 2\nright = corner.x + reeds.offset_x\nabove = corner.y - corner.size / 2\n```\n\n## Layers"), "heron/reeds.md")
	w := workings(job)
	for name, want := range map[string]string{"slow": "450 mm/min", "right": "15 mm", "above": "11 mm"} {
		if w[name].Result != want {
			t.Errorf("%s is %q, want %q", name, w[name].Result, want)
		}
	}
}

// What is not stated of the machine's feeds follows from what is, and the page
// shows it.
func TestFeedsOfTheMachine(t *testing.T) {
	for _, c := range []struct {
		rows              string
		fastest, lowering float64
		shown             map[string]string
	}{
		{"", 3000, 300, map[string]string{"fastest feed": "3000 mm/min", "lowering feed": "300 mm/min"}},
		{"| travel feed | 4000 mm/min |\n", 4000, 300, map[string]string{"fastest feed": "4000 mm/min"}},
		{"| fastest feed | 1200 mm/min |\n", 1200, 300, map[string]string{"fastest feed": "1200 mm/min"}},
		{"| z feed | 200 mm/min |\n", 3000, 200, map[string]string{"lowering feed": "200 mm/min"}},
	} {
		machine := "# Bench router\n## Machine\n| machine | |\n|---|---|\n| reach x | 280 mm |\n| reach y | 400 mm |\n| reach z | 60 mm |\n" + c.rows
		job, list := mustRead(t, withFiles(t, map[string]string{"machines/bench-router.md": machine}), "heron/reeds.md")
		if len(list) > 0 {
			t.Error(list)
		}
		if m := job.Machine; m.FastestFeed != c.fastest || m.LoweringFeed != c.lowering {
			t.Errorf("%q: fastest feed %g, lowering feed %g", c.rows, m.FastestFeed, m.LoweringFeed)
		}
		for _, f := range job.Facts {
			if want, ok := c.shown[f.Word]; ok && f.Value != want {
				t.Errorf("%q: %s is shown as %s", c.rows, f.Word, f.Value)
			}
			delete(c.shown, f.Word)
		}
		if len(c.shown) > 0 {
			t.Errorf("%q: not shown: %v", c.rows, c.shown)
		}
	}
}

// Where the machine waits: 20 mm behind the sheet, else beside it, wherever the
// sheet lies; the first that the reach has. The sheet is A5 landscape.
func TestRest(t *testing.T) {
	for _, c := range []struct {
		lay, turned, rows string
		x, y, z           float64
		shown             string // of rest x, y and z
	}{
		{"lower left", "0°", "", 0, 168, 6, "0 mm, 168 mm, 6 mm"},
		{"lower right", "0°", "", 0, 168, 6, ""},
		{"upper left", "0°", "", 230, 0, 6, ""}, // in front is where hands are
		{"upper right", "0°", "", -230, 0, 6, ""},
		{"lower left", "90°", "", 0, 230, 6, ""}, // the sheet stands upright, to the left of its lay corner
		{"upper left", "90°", "", 0, 230, 6, ""},
		{"lower left", "180°", "", -230, 0, 6, ""},
		{"lower left", "0°", "| reach y | 167 mm |\n", 230, 0, 6, ""},
		{"upper left", "0°", "| reach x | 229 mm |\n", 0, -168, 6, ""},
		{"lower left", "0°", "| rest z | 15 mm |\n", 0, 168, 15, ""},
		{"lower left", "0°", "| rest x | 240 mm |\n", 240, 0, 6, "240 mm, 0 mm, 6 mm"},
		{"upper right", "0°", "| rest x | -50 mm |\n| rest y | -390 mm |\n", -50, -390, 6, ""},
	} {
		machine := "# Bench router\n## Machine\n| machine | |\n|---|---|\n| reach z | 60 mm |\n| safe height | 6 mm |\n"
		for _, reach := range []string{"| reach x | 280 mm |\n", "| reach y | 400 mm |\n"} {
			if !strings.Contains(c.rows, reach[:9]) {
				machine += reach
			}
		}
		job, list := mustRead(t, withFiles(t, map[string]string{"machines/bench-router.md": machine + c.rows},
			"| size | A5 landscape |", "| size | A5 landscape |\n| lay | "+c.lay+" |\n| turned | "+c.turned+" |"), "heron/reeds.md")
		if len(list) > 0 {
			t.Error(list)
		}
		if m := job.Machine; m.RestX != c.x || m.RestY != c.y || m.RestZ != c.z {
			t.Errorf("%s, turned %s, %q: rests at %g, %g, %g", c.lay, c.turned, c.rows, m.RestX, m.RestY, m.RestZ)
		}
		var shown []string
		for _, f := range job.Facts {
			if strings.HasPrefix(f.Word, "rest ") {
				shown = append(shown, f.Value)
			}
		}
		if got := strings.Join(shown, ", "); c.shown != "" && got != c.shown {
			t.Errorf("%q: shown as %s", c.rows, got)
		}
	}
}
