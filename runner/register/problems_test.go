package register_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/register"
	"mahlstick/runner/vector"
)

// faulty is a drawing that cannot be placed as it is, and what is reported.
type faulty struct {
	name    string
	k       *desk
	layer   *model.Layer
	marks   []model.Mark
	code    string
	where   string
	message string // parts of it, separated by " ... "
	fix     string
	related []string
}

func picture() *desk { return newDesk("reeds.dxf").add(disc(100, 100, 20)).add(square(15, 15, 8)) }

func inUnit(name string, mm float64, k *desk) *desk {
	k.d.UnitName, k.d.UnitMM = name, mm
	return k
}

func TestMarkProblems(t *testing.T) {
	pair := []model.Mark{threeMarks[0], threeMarks[1]}
	open := square(15, 15, 8)
	open.Closed = false
	for _, f := range []faulty{
		{"no mark", newDesk("reeds.dxf").add(disc(100, 100, 20)).add(square(15, 15, 7)).add(rectangle(30, 30, 8, 7.8)).add(open), layer(), oneMark,
			"no-mark", "heron.md:11:1", `reeds.dxf has no closed square of 8 mm for the mark "corner"`, "draw a closed square of 8 mm",
			[]string{"the mark as stated", "not closed", "8 x 7.8 mm", "a square of 7 mm"}},
		{"mark on the wrong drawing layer", picture(), layer(), []model.Mark{{Name: "corner", X: 15, Y: 15, Size: 8, DrawingLayer: "marks"}},
			"no-mark", "heron.md:11:1", `drawing layer "marks", has no closed square ... no such drawing layer, only 0`, "draw", []string{"", `on drawing layer "0"`}},
		{"one mark of two", picture(), layer(), pair,
			"no-mark", "heron.md:11:1", `1 closed square of 8 mm, but the marks "a", "b" need 2`, "draw", []string{"", "a mark, at 15 mm, 15 mm"}},
		{"two squares for one mark", picture().add(square(60, 60, 8)), layer(), oneMark,
			"ambiguous-mark", "reeds.dxf:2:1", `2 squares of 8 mm for the mark "corner"; this one is at 15 mm, 15 mm`, "drawing layer of its own",
			[]string{"the mark as stated", "another square of 8 mm, at 60 mm, 60 mm"}},
		{"mirrored by three marks", picture().add(square(195, 15, 8)).add(square(15, 282, 8)).change(func(p vector.XY) vector.XY { return vector.XY{X: p.X, Y: -p.Y} }), layer(), threeMarks,
			"mirrored-drawing", "heron.md:11:1", "only in a mirror", "right way round", nil},
		{"marks disagree", picture().add(square(196, 15, 8)), layer(), pair,
			"marks-disagree", "heron.md:1:1", `"a" is 0.5 mm from where the best fit of all marks puts it; the drawing's marks are 0.56 % farther apart`, "correct x and y", []string{"the mark as drawn"}},
		{"marks slightly off", picture().add(square(195.2, 15, 8)), layer(), pair,
			"marks-slightly-off", "heron.md:1:1", "is 0.1 mm from where the best fit of all marks puts it; the drawing's marks are 0.11 % farther apart", "correct", nil},
		{"mark off the sheet", picture().change(moved(0, 195, 0)), layer(), []model.Mark{{Name: "corner", X: 210, Y: 15, Size: 8, Place: recipeFile.Place(0, 7)}},
			"mark-off-sheet", "heron.md:1:1", `"corner" of 8 mm at 210 mm, 15 mm is not on the sheet of 210 x 297 mm`, "lower left corner", nil},
		{"nothing but marks", newDesk("reeds.dxf").add(square(15, 15, 8)), layer(), oneMark,
			"nothing-to-paint", "heron.md:11:1", "reeds.dxf has nothing to paint", "draw", nil},
	} {
		t.Run(f.name, f.check)
	}
}

func TestUnitProblems(t *testing.T) {
	withCell := layer()
	withCell.Unit = model.Unit{Name: "in", MM: 25.4, Override: true, Place: recipeFile.Place(40, 47)}
	stated := layer()
	stated.Unit = model.Unit{Name: "mm", MM: 1, Place: recipeFile.Place(40, 47)}
	inFile := inUnit("mm", 1, newDesk("reeds.dxf").add(rectangle(0, 0, 381, 508)))
	inFile.d.UnitInFile = true
	for _, f := range []faulty{
		{"cm read as inches", inUnit("in", 25.4, picture().change(scaled(2.54))), layer(), oneMark,
			"mark-unit", "heron.md:11:1", "measures 20.32 mm in reeds.dxf where 8 mm is stated, 2.54 times too large ... likely cm, not in", "in the column unit of this layer, write: cm", nil},
		{"cm read as inches, as the cell says", inUnit("in", 25.4, picture().change(scaled(2.54))), withCell, oneMark,
			"mark-unit", "heron.md:6:1", "likely cm, not in", "write: cm", nil},
		{"in read as mm", inUnit("mm", 1, picture().change(scaled(1/25.4))), stated, oneMark,
			"mark-unit", "heron.md:6:1", "measures 0.315 mm ... 25.4 times too small ... likely in, not mm", "write: in", nil},
		{"pt read as mm", inUnit("mm", 1, picture().change(scaled(72/25.4))), layer(), oneMark,
			"mark-unit", "heron.md:11:1", "72/25.4 (2.83) times too large ... likely pt, not mm", "write: pt", nil},
		{"mm read as px", inUnit("px", 25.4/96, picture().change(scaled(25.4/96))), layer(), oneMark,
			"mark-unit", "heron.md:11:1", "96/25.4 (3.78) times too small ... likely mm, not px", "write: mm", nil},
		{"too large for the sheet", inUnit("in", 25.4, newDesk("reeds.dxf").add(rectangle(0, 0, 150*2.54, 200*2.54))), layer(), oneMark,
			"no-mark", "heron.md:11:1", "381 x 508 mm for a sheet of 210 x 297 mm: ... 2.54 times too large if its numbers are cm", "draw", nil},
		{"too large for the sheet, and no marks", inUnit("in", 25.4, newDesk("reeds.dxf").add(rectangle(0, 0, 381, 508))), layer(), nil,
			"off-sheet", "reeds.dxf:1:1", "past the ... 381 x 508 mm for a sheet of 210 x 297 mm: ... 2.54 times too large if its numbers are cm", "write to the margins in the column drawn size; or take a larger sheet", nil},
		{"too large, in a unit that the recipe states", inUnit("mm", 1, newDesk("reeds.dxf").add(rectangle(0, 0, 381, 508))), stated, nil,
			"off-sheet", "reeds.dxf:1:1", "a margin of 8 mm; the whole drawing is 381 x 508 mm for a sheet of 210 x 297 mm$", "write to the margins", nil},
		{"too large, in the unit of the file", inFile, layer(), nil,
			"off-sheet", "reeds.dxf:1:1", "a margin of 8 mm; the whole drawing is 381 x 508 mm for a sheet of 210 x 297 mm$", "write to the margins", nil},
	} {
		t.Run(f.name, f.check)
	}
}

func TestMarginProblems(t *testing.T) {
	for _, f := range []faulty{
		{"past the margin", picture().add(disc(190, 100, 20)), layer(), oneMark,
			"off-sheet", "reeds.dxf:3:1", "reaches 8 mm past the right margin, at 210 mm, 100 mm", "move the shape", []string{`the layer "reeds"`}},
		{"two past the margin", picture().add(disc(190, 100, 20)).add(disc(100, 290, 9)), layer(), oneMark,
			"off-sheet", "reeds.dxf:4:1", "reaches 10 mm past the upper margin ... 1 more shape reaches past it too", "move", []string{"", "reaches 8 mm past the right margin"}},
		{"open line with a width", picture().add(drawing.Contour{Points: []vector.XY{{X: 9, Y: 50}, {X: 9, Y: 90}}, Widths: []float64{1, 3}}), layer(), oneMark,
			"off-sheet", "reeds.dxf:3:1", "reaches 0.5 mm past the left margin", "move", nil},
		{"no number", picture().add(drawing.Contour{Points: []vector.XY{{X: math.NaN(), Y: 50}, {X: 9, Y: 90}}}), layer(), oneMark,
			"off-sheet", "reeds.dxf:3:1", "past the left margin", "move", nil},
		{"mirrored about its only mark", picture().change(func(p vector.XY) vector.XY { return vector.XY{X: -p.X, Y: p.Y} }), layer(), oneMark,
			"off-sheet", "reeds.dxf:1:1", "past the left margin", "the right way round, or correct the mark's x", nil},
		{"in the margin only", picture().add(disc(190, 100, 14)), layer(), oneMark,
			"off-sheet", "reeds.dxf:3:1", "past the right margin", "or write a smaller margin", nil},
		{"on the sheet laid the other way", picture().add(disc(250, 100, 20)), layer(), oneMark,
			"off-sheet", "reeds.dxf:3:1", "past the right margin", "or lay the sheet the other way", nil},
		{"upside down about its only mark", picture().change(func(p vector.XY) vector.XY { return vector.XY{X: p.X, Y: -p.Y} }), layer(), oneMark,
			"off-sheet", "reeds.dxf:1:1", "past the lower margin", "y upwards", nil},
	} {
		t.Run(f.name, f.check)
	}
}

func (f faulty) check(t *testing.T) {
	_, contours, problems := register.Place(f.k.d, f.layer, f.marks, a4)
	var p problem.Problem
	for _, p = range problems {
		if string(p.Code) == f.code {
			break
		}
	}
	if string(p.Code) != f.code {
		t.Fatalf("want %s, got\n%s", f.code, errors(problems))
	}
	if p.Severity == problem.Error && contours != nil {
		t.Error("contours were placed in spite of an error")
	}
	if got := p.Place.String(); got != f.where {
		t.Errorf("place %s, want %s", got, f.where)
	}
	for _, part := range strings.Split(f.message, " ... ") {
		if !strings.Contains(p.Message+"$", part) { // $ is the end
			t.Errorf("message %q lacks %q", p.Message, part)
		}
	}
	if !strings.Contains(p.Fix.Advice, f.fix) {
		t.Errorf("fix %q lacks %q", p.Fix.Advice, f.fix)
	}
	for i, note := range f.related {
		if i >= len(p.Related) || !strings.Contains(p.Related[i].Note, note) {
			t.Errorf("related %d lacks %q: %v", i, note, p.Related)
		}
	}
}
