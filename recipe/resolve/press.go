package resolve

import (
	"fmt"
	"slices"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/brush"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// checkPress checks the safe press of a brush against what was measured: its marks,
// and the length of its hair.
func checkPress(v *Values, d *binding.Definition) problem.List {
	var list problem.List
	cell, _ := d.Find("safe press")
	safe, ok := v.Row(d, "safe press")
	if !ok || cell == nil {
		return nil
	}
	if hair, ok := v.Row(d, "hair"); ok && safe.In(quantity.MM) > hair.In(quantity.MM)/2 {
		row, _ := d.Find("hair")
		list.Add(problem.Problem{Code: problem.FarSafePress, Place: cell.Source.Place,
			Fix:     problem.Advise("measure both again: the safe press is at most half the hair outside the ferrule"),
			Message: fmt.Sprintf("the safe press of %s is more than half of the hair, which is %s long", safe.Short(), hair.Short()),
			Related: []problem.Related{{Place: row.Source.Place, Note: "the hair"}}})
	}
	marks, from := d.SwatchMarks()
	if from != nil && from.Measured() {
		return list // the curve ends where the readings do
	}
	readings, ok := pairsOf(v, marks)
	if !ok || len(readings) == 0 || v.Curve(d) == nil {
		return list
	}
	last := readings[len(readings)-1]
	if beyondMarks(readings, safe.In(quantity.MM), v.Length(d, "widest mark"), v.Length(d, "touch mark")) {
		press, width := quantity.New(last.Press, quantity.MM), quantity.New(last.Width, quantity.MM)
		list.Add(problem.Problem{Code: problem.FarSafePress, Place: cell.Source.Place,
			Fix:     problem.Advise("correct the safe press, or pull a mark near it and add that to the swatch"),
			Message: fmt.Sprintf("the safe press of %s is far beyond the last mark, %s wide at %s, and the width hardly grows from there", safe.Short(), width.Short(), press.Short()),
			Related: []problem.Related{{Place: marks[len(marks)-1].Press.Source.Place, Note: "the last mark"}}})
	}
	return list
}

// pairsOf returns the values of marks in mm; ok is false if one has none.
func pairsOf(v *Values, marks []binding.SwatchMark) (out []brush.Mark, ok bool) {
	for _, m := range marks {
		press, known := v.Quantity(m.Press)
		width, ok := v.Quantity(m.Width)
		if !known || !ok {
			return nil, false
		}
		out = append(out, brush.Mark{Press: press.In(quantity.MM), Width: width.In(quantity.MM), UWidth: width.U(quantity.MM)})
	}
	return out, true
}

// beyondMarks reports whether the safe press is more than 1.5 times the press of
// the last mark, while the width grows less than a third as fast beyond that mark
// as before it: no measurement supports such a press. All are in mm.
func beyondMarks(marks []brush.Mark, safe, widest, touch float64) bool {
	last := marks[len(marks)-1]
	if safe <= 1.5*last.Press || last.Press <= 0 {
		return false
	}
	before, beyond := (last.Width-touch)/last.Press, (widest-last.Width)/(safe-last.Press)
	return beyond < before/3
}

// swappedColumns reports a swatch whose presses are in the column of widths: its
// marks make a sound curve when they are swapped, but not as they are. One mark
// alone may be a typing mistake instead. All are in mm.
func swappedColumns(marks []binding.SwatchMark, readings []brush.Mark, safe, widest, touch float64, err error) (p problem.Problem, found bool) {
	if len(readings) < 2 || err == nil && !beyondMarks(readings, safe, widest, touch) {
		return p, false
	}
	swapped := slices.Clone(readings)
	for i, r := range readings {
		swapped[i] = brush.Mark{Press: r.Width, Width: r.Press, UWidth: r.UWidth}
	}
	if _, err := brush.Fit(swapped, safe, widest, touch); err != nil || beyondMarks(swapped, safe, widest, touch) {
		return p, false
	}
	press, width := marks[0].Press.Head, marks[0].Width.Head
	oneTable := !slices.ContainsFunc(marks, func(m binding.SwatchMark) bool { return m.Press.Head != press || m.Width.Head != width })
	p = problem.Problem{Code: problem.SwappedColumns, Place: marks[0].Press.Source.Place, Fix: problem.Advise("swap the words press and width in the header"),
		Message: "the columns press and width seem to be swapped: these marks fit the widest mark and the safe press only if they are swapped"}
	if oneTable && press.Known() && width.Known() {
		first, second := press, width
		if second.Start < first.Start {
			first, second = second, first
		}
		between := source.Place{File: first.File, Start: first.End, End: second.Start}
		p.Place = source.Place{File: first.File, Start: first.Start, End: second.End}
		p.Fix = problem.Write(second.Text() + between.Text() + first.Text())
	}
	return p, true
}
