package collect

import (
	"fmt"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// unit is the unit of a drawing and where it was taken from.
type unit struct {
	name     string
	mm       float64
	from     string
	inFile   bool // the file states one
	missing  bool // the unit is not known: the drawing is only measured
	unstated bool // neither the file nor the recipe states one

	pageWidth, pageHeight float64 // mm, 0 where the file has no page
}

// decideUnit decides on the unit of a drawing from what the file and the recipe
// say.
func decideUnit(file sink.Unit, recipe *model.Unit, n *notes) unit {
	if recipe.Name != "" && !recipe.Override && recipe.Name == file.Page {
		recipe.Name = "" // it repeats the unit in which the page's size is written
	}
	from := "the file (" + file.How + ")"
	u := unit{name: "mm", mm: 1, missing: true}
	switch {
	case recipe.Name != "" && recipe.Override:
		u = unit{name: recipe.Name, mm: recipe.MM, from: "the recipe"}
		if file.Name != "" && !drawing.SameUnit(file.MM, recipe.MM) {
			u.from = "the recipe, against the file, which says " + file.Name + " (" + file.How + ")"
		}
	case file.Wrong:
		n.errorf(problem.UnknownUnit, file.At, file.End,
			problem.Advise("set the unit in the drawing, or write it in the recipe: mm, not as the file says"), "%s states no known unit", file.How)
	case recipe.Name != "" && file.Name == "":
		u = unit{name: recipe.Name, mm: recipe.MM, from: "the recipe"}
	case recipe.Name == "" && file.Name != "":
		u = unit{name: file.Name, mm: file.MM, from: from}
	case recipe.Name != "" && drawing.SameUnit(recipe.MM, file.MM):
		u = unit{name: file.Name, mm: file.MM, from: from + " and the recipe"}
	case recipe.Name != "":
		reportUnitClash(n, *recipe, file)
	default:
		u.unstated = true
	}
	u.inFile = file.Name != "" || file.Wrong
	return u
}

// unitPlace is the place where the recipe states the unit, or could state it.
func unitPlace(n *notes, recipe model.Unit) source.Place {
	if recipe.Place.Known() {
		return recipe.Place
	}
	return n.place(0, 0)
}

func reportUnitClash(n *notes, recipe model.Unit, file sink.Unit) {
	p := problem.Problem{
		Code: problem.UnitClash, Place: unitPlace(n, recipe),
		Fix:     problem.Advise("leave the unit out to follow the file, or write: " + recipe.Name + ", not as the file says"),
		Message: fmt.Sprintf("the drawing %s says %s (%s), the recipe says %s", n.file.Name, file.Name, file.How, recipe.Name),
	}
	if file.End > 0 {
		p.Related = []problem.Related{{Place: n.place(file.At, file.End), Note: "the file's unit"}}
	}
	n.report(p)
}

// reportNoUnit reports a drawing without a unit, and its size in each likely unit. box
// is the box around it in its own units.
func reportNoUnit(n *notes, recipe model.Unit, box vector.Box, hint string) {
	sizes := "it is empty"
	if box.Min.X <= box.Max.X {
		w, h := box.Max.X-box.Min.X, box.Max.Y-box.Min.Y
		sizes = ""
		for i, u := range drawing.LikelyUnits() {
			if i > 0 {
				sizes += "; "
			}
			sizes += "if " + u.Name + ": " + drawing.Short(w*u.MM) + " x " + drawing.Short(h*u.MM) + " mm"
		}
	}
	n.report(problem.Problem{Code: problem.NoUnit, Place: unitPlace(n, recipe), Fix: problem.Advise("write the drawing's unit in the recipe: mm, cm, in ..., or the size that it is to have in the column drawn size, such as 120 mm wide"),
		Message: fmt.Sprintf("neither the drawing %s nor the recipe says its unit (%s%s)", n.file.Name, sizes, hint)})
}
