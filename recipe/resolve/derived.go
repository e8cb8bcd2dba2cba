package resolve

import (
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/source"
	"mahlstick/recipe/working"
)

// Derived is what the program derives for a brush.
type Derived struct {
	Workings []working.Working
	// Thinnest is the width in mm of the thinnest sure line, or that of the
	// widest mark if no line is sure.
	Thinnest float64
	// Reserve is how much less than the safe press the brush is pressed at most,
	// in mm.
	Reserve float64
}

// builtinFormulas are evaluated for each brush, with its name in the place of
// "brush". The taper is that of the cone through the widest mark at the safe
// press (common practice, no source). A height that lies anywhere in a band
// counts as uncertain by half the band over √3 (JCGM 100:2008, 4.3.7). 2.3
// standard uncertainties leave 1 stroke in 100 above the paper (normal
// distribution, one-sided 1 %: 2.326). Twice the standard uncertainty of the
// height is kept between the deepest press and the safe press, the expanded
// uncertainty for about 95 % (JCGM 100:2008, 6.3.3 and G.6.6).
var builtinFormulas = [...]struct{ name, text, remark string }{
	{"half_width", "brush.widest_mark / 2", "half of the widest mark"},
	{"slant", "sqrt(brush.half_width^2 + brush.safe_press^2)", "from the point to the edge of the mark"},
	{"taper", "asin(brush.half_width / brush.slant)", "half of the angle of the tip"},
	{"base_angle", "90*deg - brush.taper", "between the flank of the tip and the paper"},
	{"bed_uncertainty", "machine.bed / sqrt(3)", "the bed is anywhere within ± machine.bed"},
	{"least_press", "2.3 * sqrt(brush.touch^2 + brush.bed_uncertainty^2)", "below this press, more than 1 stroke in 100 may miss the paper"},
	{"reserve", "least(2 * sqrt(brush.touch^2 + brush.bed_uncertainty^2 + u(brush.safe_press)^2), brush.safe_press / 5)", "the paper may be higher, or the safe press less, than was measured"},
	{"deepest_press", "brush.safe_press - brush.reserve", "no stroke is pressed deeper"},
	{"widest_painted", "width_at(brush, brush.deepest_press)", "wider places up to the widest mark are painted no wider"},
	{"thinnest", "width_at(brush, brush.least_press)", "the thinnest sure line"},
}

// Height is what the height of a brush over the paper is uncertain by, besides
// touching off: the band of the machine's bed or, if not nil, what is left of it
// where Z follows a surface. The machine may be nil.
type Height struct {
	Machine *binding.Definition
	Left    *quantity.Quantity
}

// surfaceFormula takes the place of the formula of the same name where Z follows
// a surface.
const (
	surfaceFormula = "flatness.doubt"
	surfaceRemark  = "the most that the surface through the touched heights leaves in doubt"
)

// Derive evaluates the built-in formulas of a brush. name stands for "brush" in them; it may differ from the brush's own name.
// A formula whose name is taken is left out of the workings.
func (v *Values) Derive(d *binding.Definition, name string, height Height, taken formula.Scope, budget *formula.Budget) (Derived, problem.List) {
	out := Derived{}
	var list problem.List
	bed, ok := binding.Default(schema.Find(schema.Machine).Find("bed"))
	if height.Machine != nil {
		bed, ok = v.Row(height.Machine, "bed")
	}
	if !ok {
		return out, nil
	}
	s := newScope(2 * len(builtinFormulas))
	s.enterRows(v, &binding.Definition{Schema: d.Schema, Notebook: d.Notebook, Name: name, Base: d})
	s.set(name, v.curves[d].value, source.Place{})
	s.set("machine.bed", formula.OfQuantity(bed), source.Place{})
	if height.Left != nil {
		s.set(surfaceFormula, formula.OfQuantity(*height.Left), source.Place{})
	}
	stated, _ := d.Find("reserve")
	var formulas []*formula.Formula
	for _, builtin := range builtinFormulas {
		if builtin.name == "reserve" && stated != nil {
			continue
		}
		if builtin.name == "bed_uncertainty" && height.Left != nil {
			builtin.text, builtin.remark = surfaceFormula, surfaceRemark
		}
		f, _ := formula.Parse(name+"."+builtin.name, strings.ReplaceAll(builtin.text, "brush", name), source.Place{})
		f.Remark = builtin.remark
		formulas = append(formulas, f)
	}
	spentBefore := budget.Spent()
	results, _ := budget.Evaluate(formulas, s, 1)
	if budget.Spent() {
		if !spentBefore {
			list.Errorf(problem.TooMuchWork, d.Place, problem.Advise("use fewer readings in the formulas of its rows"), "the formulas of this recipe take too much computing")
		}
		return out, list
	}
	for _, result := range results {
		if _, has := taken.Lookup(result.Formula.Name); !has && result.OK {
			out.Workings = append(out.Workings, result.Working)
		}
	}
	out.Workings = append(out.Workings, v.showMeasured(d, name, s, budget)...)
	out.Reserve = v.Length(d, "reserve")
	if at := slices.IndexFunc(results, func(r formula.Result) bool { return r.OK && r.Formula.Name == name+".reserve" }); at >= 0 {
		q, _ := results[at].Value.Quantity()
		out.Reserve = q.In(quantity.MM)
	}
	list = append(list, checkReserve(v, d, stated)...)
	thinnest := results[len(results)-1] // the last of builtinFormulas
	if q, ok := thinnest.Value.Quantity(); ok && thinnest.OK {
		out.Thinnest = q.In(quantity.MM)
		return out, list
	}
	out.Thinnest = v.Length(d, "widest mark")
	list.Add(problem.Problem{Severity: problem.Warning, Code: problem.NoPromise, Place: d.Place, Fix: problem.Advise("touch off more exactly, or level the bed"),
		Message: "touching off and the bed are so uncertain that no line of this brush is sure: it would need a press beyond the safe press"})
	return out, list
}

// checkReserve reports a stated reserve that leaves no press, and one that is
// less than the uncertainty of the safe press.
func checkReserve(v *Values, d *binding.Definition, stated *binding.Cell) problem.List {
	var list problem.List
	if stated == nil {
		return nil
	}
	reserve, ok1 := v.Quantity(stated)
	safe, ok2 := v.Row(d, "safe press")
	if !ok1 || !ok2 {
		return nil
	}
	switch r, u := reserve.In(quantity.MM), safe.U(quantity.MM); {
	case r >= safe.In(quantity.MM):
		list.Errorf(problem.OutOfRange, stated.Source.Place, problem.Advise("write less, or leave the row out for the default"),
			"a reserve of %s leaves nothing of the safe press of %s", reserve.Short(), safe.Short())
	case r < u:
		list.Add(problem.Problem{Severity: problem.Warning, Code: problem.OutOfRange, Place: stated.Source.Place,
			Fix:     problem.Advise("write at least as much, or leave the row out for the default"),
			Message: "the reserve of " + reserve.Short() + " is less than the uncertainty of the safe press, " + safe.Short()})
	}
	return list
}
