package recipe

import (
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// Limits of a drawn size: no sheet is larger, and no drawing needs more.
const (
	largestSize   = 10_000    // mm
	largestFactor = 1_000_000 // and 1 over it the smallest
)

// drawnSizeFix shows all forms of a drawn size.
const drawnSizeFix = "write 120 mm wide, 90 mm high, to the margins, or a factor such as 50 %"

// drawnSize reads the size that a drawing has on the sheet.
func drawnSize(l *layerReader, c *binding.Cell) bool {
	text := strings.TrimSpace(c.Source.String)
	size := model.DrawnSize{By: model.Factor, Text: text, Place: c.Source.Place}
	want, dim, most := text, quantity.Dim{}, float64(largestFactor)
	folded := strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(text, "-", " "))), " ")
	switch {
	case folded == "to the margins":
		size.By = model.ToMargins
		l.layer.DrawnSize = size
		return true
	case strings.HasSuffix(folded, " wide"):
		size.By = model.Wide
	case strings.HasSuffix(folded, " high"):
		size.By = model.High
	}
	if size.By != model.Factor {
		want, dim, most = strings.TrimRight(text[:len(text)-len("wide")], " -"), quantity.Length, largestSize
	}
	unit := quantity.MM
	if size.By == model.Factor {
		unit = quantity.One
	}
	q, list := quantity.Parse(want, c.Source.Place.Sub(0, len(want)), quantity.Of(dim))
	switch {
	case len(list) > 0 && size.By != model.Factor:
		l.a.problems = append(l.a.problems, list...)
		return false
	case len(list) > 0:
		fix := problem.Correction(formula.Fold(text), []string{"to the margins"}).Else(problem.Advise(drawnSizeFix))
		l.a.problems.Errorf(problem.UnknownWord, c.Source.Place, fix, "%q is not the size of a drawing", text)
		return false
	}
	size.Value = q.In(unit)
	least := 0.0
	if size.By == model.Factor {
		least = 1.0 / largestFactor
	}
	if !(size.Value > 0 && size.Value >= least && size.Value <= most) {
		l.a.problems.Errorf(problem.OutOfRange, c.Source.Place, problem.Advise(drawnSizeFix), "%s is no size that a drawing can have on a sheet", text)
		return false
	}
	l.layer.DrawnSize = size
	return true
}
