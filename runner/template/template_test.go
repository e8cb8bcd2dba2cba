package template_test

import (
	"bytes"
	"fmt"
	"mahlstick/runner/golden"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/template"
	"mahlstick/runner/vector"
)

func compareGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	golden.Compare(t, filepath.Join("testdata", name), got)
}

// pond has three layers in two drawings, one of them with layers for both of
// its inks, and two marks, one on a drawing layer of its own.
func pond() *model.Job {
	recipe := source.New("pond/pond.md", []byte("# Pond & <reeds>\n"))
	inch := model.Unit{Name: "in", MM: 25.4}
	return &model.Job{
		Name: "pond", Title: "Pond & <reeds>", Files: []*source.File{recipe},
		Sheet: model.Sheet{Size: "A5 landscape", Width: 210, Height: 148, Margin: 8},
		Layers: []model.Layer{
			{Name: "reeds", Drawing: "pond/plants.dxf", DrawingLayer: "Reeds back", Ink: model.Ink{Hex: "#6c7a45"}, Unit: inch, Place: recipe.Place(0, 1)},
			{Name: "bird", Drawing: "pond/bird.dxf", Ink: model.Ink{Hex: "#1f2a49"}, Place: recipe.Place(1, 2)},
			{Name: "moss", Drawing: "pond/plants.dxf", DrawingLayer: "Moss", Ink: model.Ink{Hex: "#d8c17a"}, Place: recipe.Place(2, 3)},
		},
		Marks: []model.Mark{
			{Name: "corner", X: 15, Y: 15, Size: 8, Place: recipe.Place(3, 4)},
			{Name: "far", X: 195.5, Y: 130.25, Size: 6, DrawingLayer: "Marks", Place: recipe.Place(4, 5)},
		},
	}
}

func TestEach(t *testing.T) {
	list := template.Each(pond())
	if len(list) != 2 || list[0].Drawing != "pond/plants.dxf" || list[1].Drawing != "pond/bird.dxf" {
		t.Fatalf("templates %+v", list)
	}
	for _, d := range list {
		base := strings.TrimSuffix(filepath.Base(d.Drawing), ".dxf")
		text, problems := d.DXF()
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		compareGolden(t, base+".dxf", text)
		compareGolden(t, base+".svg", d.SVG())
	}
}

func TestTogether(t *testing.T) {
	d := template.Together(pond())
	if d.Drawing != "pond/pond.dxf" {
		t.Errorf("called %s", d.Drawing)
	}
	var names []string
	for _, l := range d.Layers {
		names = append(names, l.Name)
	}
	if got := strings.Join(names, ", "); got != "Reeds back, bird, Moss, Marks" {
		t.Errorf("layers %s", got)
	}
	text, problems := d.DXF()
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	compareGolden(t, "pond.dxf", text)
	compareGolden(t, "pond.svg", d.SVG())
}

// A template reads as a drawing of its layers with nothing but marks, each
// where the recipe says, in either format and every unit.
func TestReadBack(t *testing.T) {
	for _, unit := range []model.Unit{{}, {Name: "mm", MM: 1}, {Name: "cm", MM: 10}, {Name: "m", MM: 1000}, {Name: "in", MM: 25.4}, {Name: "pt", MM: 25.4 / 72}, {Name: "px", MM: 25.4 / 96}} {
		job := pond()
		for i := range job.Layers {
			job.Layers[i].Unit = unit
		}
		d := template.Together(job)
		text, problems := d.DXF()
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		for name, data := range map[string][]byte{"t.dxf": text, "t.svg": d.SVG()} {
			for _, l := range job.Layers {
				read, problems := decode.Drawing(source.New(name, data), drawing.Options{Unit: unit, Layer: template.LayerName(&l), KeepLayers: []string{"Marks"}})
				if len(problems) > 0 {
					t.Fatalf("%s in %q: %v", name, unit.Name, problems)
				}
				checkMarks(t, fmt.Sprintf("%s in %q, layer %s", name, unit.Name, l.Name), read, job.Marks)
			}
		}
	}
}

// checkMarks wants a drawing that has nothing but the marks.
func checkMarks(t *testing.T, what string, read *drawing.Drawing, marks []model.Mark) {
	t.Helper()
	if len(read.Contours) != len(marks) {
		t.Fatalf("%s: %d contours, want the %d marks", what, len(read.Contours), len(marks))
	}
	for i, c := range read.Contours {
		m := marks[i]
		if !c.Closed || c.Widths != nil || len(c.Points) != 4 {
			t.Errorf("%s: a mark is read as %+v", what, c)
		}
		box, h := vector.Bounds(c.Points), m.Size/2
		if off := max(math.Abs(box.Min.X-m.X+h), math.Abs(box.Min.Y-m.Y+h), math.Abs(box.Max.X-m.X-h), math.Abs(box.Max.Y-m.Y-h)); off > 1e-6 {
			t.Errorf("%s: the mark %s is %g mm off", what, m.Name, off)
		}
	}
}

// Edge and margin are passed over by their layers' names alone, whatever a
// drawing program made of the rest.
func TestPassOver(t *testing.T) {
	d := template.Together(pond())
	text, problems := d.DXF()
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	plotted := bytes.ReplaceAll(text, []byte("\n290\n0\n"), []byte("\n290\n1\n"))
	if bytes.Equal(plotted, text) {
		t.Fatal("no layer is marked as not plotted")
	}
	for name, data := range map[string][]byte{"t.dxf": plotted, "t.svg": d.SVG()} {
		read, problems := decode.Drawing(source.New(name, data), drawing.Options{})
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		before := len(read.Contours)
		template.SkipGuides(read)
		if len(read.Contours) != before-2 {
			t.Errorf("%s: %d of %d contours are left, want all but two", name, len(read.Contours), before)
		}
		passed := 0
		for _, c := range read.Skipped {
			if template.IsGuide(c.Layer) {
				passed += c.N
			}
		}
		for _, c := range read.Read {
			if template.IsGuide(c.Layer) {
				t.Errorf("%s: %+v counts as read", name, c)
			}
		}
		if passed != 2 {
			t.Errorf("%s: %d shapes are counted as passed over, want 2", name, passed)
		}
	}
}

func TestIsGuide(t *testing.T) {
	for name, want := range map[string]bool{
		"sheet (not painted)": true, "My Sketch  (Not  Painted) ": true, "(not painted)": true,
		"sheet": false, "not painted": false, "(not painted) reeds": false, "": false,
	} {
		if template.IsGuide(name) != want {
			t.Errorf("IsGuide(%q) is %t", name, !want)
		}
	}
}

func TestLayerName(t *testing.T) {
	for name, want := range map[string]string{
		"reeds": "reeds", "0": "layer 0", "a;b=c,d": "a-b-c-d", "sky (not painted)": "sky (not painted) ink", "Schilf grün": "Schilf grün",
	} {
		if got := template.LayerName(&model.Layer{Name: name}); got != want {
			t.Errorf("%q is drawn on %q, want %q", name, got, want)
		}
	}
	if got := template.LayerName(&model.Layer{Name: "reeds", DrawingLayer: "GREEN"}); got != "GREEN" {
		t.Errorf("a stated drawing layer becomes %q", got)
	}
}

// A drawing layer that no DXF can have is told at the line that states it.
func TestNoSuchName(t *testing.T) {
	job := pond()
	job.Layers[1].DrawingLayer = "bird|back"
	job.Marks[1].DrawingLayer = "a*"
	data, problems := template.Together(job).DXF()
	if len(problems) != 2 || data != nil || problems[0].Place != job.Layers[1].Place || problems[1].Place != job.Marks[1].Place {
		t.Errorf("%d bytes and %v", len(data), problems)
	}
}

// Without a margin and a mark there is only the sheet's edge.
func TestBare(t *testing.T) {
	job := pond()
	job.Sheet.Margin, job.Marks = 0, nil
	text, problems := template.Together(job).DXF()
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if n := bytes.Count(text, []byte("\nLWPOLYLINE\n")); n != 1 {
		t.Errorf("%d shapes", n)
	}
	if n := bytes.Count(template.Together(job).SVG(), []byte("<path")); n != 1 {
		t.Errorf("%d shapes", n)
	}
}
