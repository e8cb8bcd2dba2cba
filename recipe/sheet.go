package recipe

import (
	"math"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/source"
)

func (a *assembler) sheet(d *binding.Definition) {
	a.checkRequired(d)
	s := &a.job.Sheet
	s.Place = d.Place
	if c, _ := d.Find("size"); c != nil {
		size, list := readSize(c)
		a.problems = append(a.problems, list...)
		s.Size, s.Width, s.Height = size.name, size.width, size.height
	}
	s.Margin = a.values.Length(d, "margin")
	if c, _ := d.Find("paper"); c != nil {
		s.Paper = text(a.values, c)
		if linked := d.Notebook.LinkedBy(c); linked != nil {
			s.Paper = linked.Doc.Title.String
		}
	}
	if c, _ := d.Find("grain"); c != nil {
		s.Grain = c.Word
	}
	s.Lay = corner(d.Word("lay"))
	s.Turned = a.turned(d)
	growth, stated := growthOf(d)
	s.Growth, s.GrowthStated, s.Misfit = growth, stated.Known(), a.values.Length(d, "misfit")
	if c, _ := d.Find("edition"); c != nil {
		a.job.Edition = c.Count
	}
	a.job.Worksheet = d.Word("worksheet") == "yes"
	a.facts.rows(d)
	c, _ := d.Find("margin")
	if c == nil || s.Width == 0 || 2*s.Margin < math.Min(s.Width, s.Height) {
		return
	}
	if margin, known := a.values.Quantity(c); known {
		a.problems.Errorf(problem.OffSheet, c.Source.Place, problem.Advise("write less than half of its shorter side"), "margins of %s leave nothing of a sheet of %s", margin, s.Size)
	}
}

func corner(word string) model.Corner {
	for _, c := range []model.Corner{model.LowerRight, model.UpperRight, model.UpperLeft} {
		if c.String() == word {
			return c
		}
	}
	return model.LowerLeft
}

// turned is the number of quarter turns of the sheet.
func (a *assembler) turned(d *binding.Definition) int {
	c, _ := d.Find("turned")
	if c == nil {
		return 0
	}
	turn, known := a.values.Quantity(c)
	if !known {
		return 0
	}
	quarters := turn.In(quantity.Degree) / 90
	if quarters != math.Floor(quarters) || quarters < 0 || quarters > 3 {
		a.problems.Errorf(problem.UnknownWord, c.Source.Place, problem.Advise("write 0°, 90°, 180° or 270°"), "a sheet is turned by 0°, 90°, 180° or 270°, not by %s", turn)
		return 0
	}
	return int(quarters)
}

// The two ways to turn a sheet with a name.
const (
	portrait  = "portrait"
	landscape = "landscape"
)

// sheetSize is the size of a sheet as it is written, with its width and height
// in mm.
type sheetSize struct {
	name          string
	width, height float64
}

// readSize reads "A4", "A4 landscape", "210 x 297 mm".
func readSize(c *binding.Cell) (size sheetSize, list problem.List) {
	text, way := c.Source.String, ""
	if i := strings.LastIndexAny(text, " \t"); i >= 0 {
		last := strings.ToLower(text[i+1:])
		if near, ok := problem.Nearest(last, []string{portrait, landscape}); ok {
			if near != last {
				list.Errorf(problem.UnknownWord, c.Source.Place.Sub(i+1, len(text)), problem.Write(near), "a sheet is portrait or landscape, not %q", text[i+1:])
				return size, list
			}
			way, text = last, strings.TrimRight(text[:i], " \t")
		}
	}
	width, height, written, named := schema.SheetSize(text)
	switch {
	case named && way == landscape:
		return sheetSize{written + " " + way, height, width}, nil
	case named:
		return sheetSize{written + " " + portrait, width, height}, nil
	case !strings.ContainsAny(text, "x×X*") || !strings.ContainsAny(text, "0123456789"):
		return size, unknownSize(c, text)
	}
	if width, height, list = twoLengths(text, c.Source.Place.Sub(0, len(text))); len(list) > 0 {
		return size, list
	}
	if way != "" && (way == portrait) != (width <= height) {
		list.Errorf(problem.UnknownWord, c.Source.Place, problem.Advise("leave out "+way), "a sheet of %s is not %s", text, way)
		return size, list
	}
	return sheetSize{text, width, height}, nil
}

func unknownSize(c *binding.Cell, text string) (list problem.List) {
	fix := problem.Advise("write an ISO 216 name such as A4 portrait, letter, legal, or 210 x 297 mm")
	if near, ok := problem.Nearest(text, schema.SheetNames()); ok {
		fix = problem.DidYouMean(near + strings.TrimPrefix(c.Source.String, text))
	}
	list.Errorf(problem.UnknownSize, c.Source.Place, fix, "%q is not a sheet size", c.Source.String)
	return list
}

// twoLengths reads "210 x 297 mm" in mm: if the first length has no unit, it
// has that of the second.
func twoLengths(text string, at source.Place) (width, height float64, list problem.List) {
	i := strings.IndexAny(text, "x×X*")
	size := 1
	if strings.HasPrefix(text[i:], "×") {
		size = len("×")
	}
	want := quantity.Of(quantity.Length)
	second, list := quantity.Parse(text[i+size:], at.Sub(i+size, len(text)), want)
	if len(list) > 0 {
		return 0, 0, list
	}
	want.Unit, want.Header = second.Unit(), true
	first, list := quantity.Parse(text[:i], at.Sub(0, i), want)
	if len(list) > 0 {
		return 0, 0, list
	}
	width, height = first.In(quantity.MM), second.In(quantity.MM)
	const smallest, largest = 10, 10_000 // mm
	if !(width >= smallest && height >= smallest && width <= largest && height <= largest) {
		list.Errorf(problem.OutOfRange, at, problem.Advise("correct the numbers or the unit"), "a sheet is from %d mm to %d mm wide and high", smallest, largest)
		return 0, 0, list
	}
	return width, height, nil
}
