package runner_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/runner"
)

// lens is a drawing in DXF or SVG: a mark of 8 mm and a pointed shape on A5
// landscape, its numbers in a unit of so many mm, which the file states as a
// word of its own format, or not.
func lens(ext string, mm float64, stated string) string {
	shapes := [][][2]float64{{{11, 11}, {19, 11}, {19, 19}, {11, 19}}, {{40, 40}, {90, 60}, {140, 70}, {90, 64}}}
	var b strings.Builder
	if ext == ".svg" {
		size := ""
		if stated != "" {
			size = fmt.Sprintf(` width="%.9f%s" height="%.9f%s"`, 210/mm, stated, 148/mm, stated)
		}
		fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg"%s viewBox="0 0 %.9f %.9f">`, size, 210/mm, 148/mm)
		for _, s := range shapes {
			b.WriteString(`<path d="M`)
			for _, p := range s {
				fmt.Fprintf(&b, " %.9f %.9f", p[0]/mm, (148-p[1])/mm)
			}
			b.WriteString(`Z"/>`)
		}
		return b.String() + "</svg>"
	}
	b.WriteString("0\nSECTION\n2\nHEADER\n")
	if stated != "" {
		b.WriteString("9\n$INSUNITS\n70\n" + map[string]string{"in": "1", "mm": "4"}[stated] + "\n")
	}
	b.WriteString("0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
	for _, s := range shapes {
		fmt.Fprintf(&b, "0\nLWPOLYLINE\n8\nart\n90\n%d\n70\n1\n", len(s))
		for _, p := range s {
			fmt.Fprintf(&b, "10\n%.9f\n20\n%.9f\n", p[0]/mm, p[1]/mm)
		}
	}
	return b.String() + "0\nENDSEC\n0\nEOF\n"
}

// Whatever unit a drawing is in, and whatever its file says of it, the message
// names what to write into the column unit, and writing just that fixes it.
func TestUnitsByMark(t *testing.T) {
	for _, ext := range []string{".dxf", ".svg"} {
		for _, stated := range []string{"", "mm", "in"} {
			for _, u := range []drawnUnit{{"mm", 1}, {"cm", 10}, {"in", 25.4}, {"pt", 25.4 / 72}, {"px", 25.4 / 96}, {"m", 1000}} {
				if u.name != stated {
					t.Run(fmt.Sprintf("lens%s in %s, stated %q", ext, u.name, stated), func(t *testing.T) { u.check(t, ext, stated) })
				}
			}
		}
	}
}

type drawnUnit struct {
	name string
	mm   float64
}

// check runs a recipe with a drawing in the unit, of which the file states
// another or none, and again with what the message says to write.
func (u drawnUnit) check(t *testing.T, ext, stated string) {
	studio, recipe := pond(t)
	name := "lens" + ext
	if err := os.WriteFile(filepath.Join(studio, "pond", name), []byte(lens(ext, u.mm, stated)), 0o644); err != nil {
		t.Fatal(err)
	}
	write := func(unit string) {
		body := "# Lens\n\n## Sheet\n\n| sheet | |\n|---|---|\n| size | A5 landscape |\n\n## Machine\n\n[bench](../machines/bench.md)\n\n" +
			"## Registration\n\n| mark | x | y | size |\n|---|---|---|---|\n| corner | 15 mm | 15 mm | 8 mm |\n\n" +
			"## Layers\n\n| layer | drawing | unit | brush | ink |\n|---|---|---|---|---|\n| lens | [lens](" + name + ") | " + unit + " | [sable](../brushes/sable.md) | moss |\n"
		if err := os.WriteFile(recipe, []byte(body), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("")
	r, problems, err := runner.Run(recipe, runner.Options{})
	if r != nil || err != nil || countErrors(problems) != 1 {
		t.Fatal(err, problems)
	}
	advice := problems.Sorted()[0].Fix.Advice
	_, unit, ok := strings.Cut(advice, "write: ")
	want := u.name
	if stated != "" {
		want += ", not as the file says"
	}
	if !ok || unit != want {
		t.Fatalf("%q does not say to write %q", advice, want)
	}
	write(unit)
	if r := mustRun(t, recipe, runner.Options{}); r.Failed() || r.Layers[0].Cover.Coverage < 0.99 {
		t.Errorf("not fixed by %q", unit)
	}
}

// Where the mark is found in more than one unit, none is named.
func TestUnitThatMarksDoNotShow(t *testing.T) {
	studio, recipe := pond(t)
	square := func(from, to string) string {
		return "0\nLWPOLYLINE\n8\nart\n90\n4\n70\n1\n10\n" + from + "\n20\n" + from + "\n10\n" + to + "\n20\n" + from + "\n10\n" + to + "\n20\n" + to + "\n10\n" + from + "\n20\n" + to + "\n"
	}
	// 8 units, and 0.8 units: the mark in mm, or in cm.
	text := "0\nSECTION\n2\nENTITIES\n" + square("2", "10") + square("1", "1.8") + "0\nENDSEC\n0\nEOF\n"
	for _, name := range []string{"reeds.dxf", "bird.dxf"} {
		if err := os.WriteFile(filepath.Join(studio, "pond", name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	_, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil || countErrors(problems) == 0 {
		t.Fatal(err, problems)
	}
	reported := 0
	for _, p := range problems {
		if p.Code == "no-unit" {
			reported++
		}
		if p.Code == "no-unit" && (strings.Contains(p.Fix.Advice, "write: ") || strings.Contains(p.Message, "by its mark")) {
			t.Errorf("%s: %s", p.Message, p.Fix.Advice)
		}
	}
	if reported != 2 {
		t.Errorf("no-unit is reported %d times for two drawings", reported)
	}
}

// A drawing scaled by a factor between two units is reported as such, though no
// unit explains it.
func TestMistakenScale(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		want string
	}{{2.54, "2.54 times too small"}, {1 / 2.54, "2.54 times too large"}, {72 / 25.4, "72/25.4 (2.83) times too small"}, {96 / 25.4, "96/25.4 (3.78) times too small"}} {
		studio, recipe := pond(t)
		if err := os.WriteFile(filepath.Join(studio, "pond", "bird.dxf"), []byte(lens(".dxf", c.mm, "mm")), 0o644); err != nil {
			t.Fatal(err)
		}
		_, problems, err := runner.Run(recipe, runner.Options{})
		if err != nil || !strings.Contains(fmt.Sprint(problems), c.want) {
			t.Errorf("%g: %v %v", c.mm, err, problems)
		}
	}
}

func countErrors(list problem.List) (n int) {
	for _, p := range list {
		if p.Severity == problem.Error {
			n++
		}
	}
	return n
}

// What is wrong with a drawing that several layers share is reported once.
func TestSharedDrawingIsReportedOnce(t *testing.T) {
	studio, recipe := pond(t)
	text, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"reeds.dxf", "bird.dxf"} {
		if err := os.WriteFile(filepath.Join(studio, "pond", name), []byte(lens(".dxf", 1, "mm")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	shared := strings.ReplaceAll(strings.ReplaceAll(string(text), "(bird.dxf)", "(reeds.dxf)"), "| 15 mm | 15 mm | 8 mm |", "| 15 mm | 15 mm | 9 mm |")
	for body, want := range map[string]int{shared: 1, strings.ReplaceAll(string(text), "| 15 mm | 15 mm | 8 mm |", "| 15 mm | 15 mm | 9 mm |"): 2} {
		if err := os.WriteFile(recipe, []byte(body), 0o644); err != nil {
			t.Fatal(err)
		}
		_, problems, err := runner.Run(recipe, runner.Options{})
		n := 0
		for _, p := range problems {
			if p.Code == "no-mark" {
				n++
			}
		}
		if err != nil || n != want {
			t.Errorf("no-mark is reported %d times, want %d: %v", n, want, problems)
		}
	}
}
