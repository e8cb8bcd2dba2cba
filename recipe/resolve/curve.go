package resolve

import (
	"errors"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/brush"
	"mahlstick/recipe/calibrate"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// Curve is the curve of press and width of a brush.
type Curve struct {
	Fit   *brush.Curve  // nil if the marks do not make a curve
	value formula.Value // the brush as an argument of formulas
}

// Curve is the curve of a brush, or nil.
func (v *Values) Curve(d *binding.Definition) *brush.Curve {
	if curve := v.curves[d]; curve != nil {
		return curve.Fit
	}
	return nil
}

// curveFailed reports whether the marks of a brush do not make a curve.
func curveFailed(v *Values, d *binding.Definition) bool {
	curve, made := v.curves[d]
	return d.SwatchBroken || made && curve.Fit == nil
}

// curve fits the curve of a brush whose values are known.
func (r *resolver) curve(d *binding.Definition) *Curve {
	curve := r.values.curves[d]
	if curve == nil {
		curve = &Curve{}
		switch {
		case d.SwatchBroken:
		case d.ShapesCurve():
			var list problem.List
			*curve, list = r.values.fit(d)
			r.problems = append(r.problems, list...)
		case r.values.curves[d.Base] != nil:
			*curve = *r.values.curves[d.Base]
		}
		r.values.curves[d] = curve
	}
	return curve
}

// fit fits the curve of a brush that states what shapes it.
func (v *Values) fit(d *binding.Definition) (curve Curve, list problem.List) {
	if _, from := d.SwatchMarks(); from != nil && from.Measured() {
		return fitMeasured(v, d)
	}
	widest, ok1 := v.Row(d, "widest mark")
	safe, ok2 := v.Row(d, "safe press")
	touch, ok3 := v.Row(d, "touch mark")
	if !ok1 || !ok2 || !ok3 {
		return curve, nil
	}
	marks, from := d.SwatchMarks()
	if from != nil && from != d && curveFailed(v, from) {
		return curve, nil
	}
	readings, ok := pairsOf(v, marks)
	if !ok {
		return curve, nil
	}
	safeMM, widestMM, touchMM := safe.In(quantity.MM), widest.In(quantity.MM), touch.In(quantity.MM)
	fitted, err := brush.Fit(readings, safeMM, widestMM, touchMM)
	if p, swapped := swappedColumns(marks, readings, safeMM, widestMM, touchMM, err); swapped {
		list.Add(p)
		return curve, list
	}
	if err != nil {
		list.Add(badMark(d, marks, readings, safeMM, widestMM, err))
		return curve, list
	}
	// Marks say how wide they are; a table by hand has no doubt of its touch beyond
	// that of touching off.
	fitted = fitted.Doubted(brush.Doubt{Shift: v.Length(d, "touch"), Ends: [2]float64{touch.U(quantity.MM), widest.U(quantity.MM)}})
	// In place of marks at press 0 and at the safe press, the curve has the touch
	// mark and the widest mark.
	widths := []quantity.Quantity{touch}
	for i, m := range marks {
		if !(i == 0 && readings[i].Press == 0) && !(i == len(marks)-1 && readings[i].Press == safeMM) {
			width, _ := v.Quantity(m.Width)
			widths = append(widths, width)
		}
	}
	for _, i := range fitted.Pooled() {
		width, _ := v.Quantity(marks[i].Width)
		list.Warnf(problem.PooledMark, marks[i].Width.Source.Place, problem.Advise("measure it again when there is time"),
			"the mark of %s does not fit the others, but is within its uncertainty; the curve uses their mean", width)
	}
	return Curve{fitted, formula.OfBrush(&formula.Brush{Name: d.Name, Curve: fitted, Widths: append(widths, widest)})}, list
}

// badMark is the problem for a curve that could not be fitted, at the mark or
// row that is at fault.
func badMark(d *binding.Definition, marks []binding.SwatchMark, readings []brush.Mark, safe, widest float64, err error) problem.Problem {
	var bad *brush.MarkError
	if !errors.As(err, &bad) {
		return problem.Problem{Code: problem.NoCurve, Place: d.Place, Fix: problem.Advise("measure the brush again"), Message: d.Title + ": " + err.Error()}
	}
	at, fix, row := d.Place, problem.Advise("correct the row"), ""
	switch i := bad.Index; {
	case i < 0:
		if c, _ := d.Find("touch mark"); c != nil {
			at = c.Source.Place
		}
	case i >= len(marks):
		if c, _ := d.Find("widest mark"); c != nil {
			at = c.Source.Place
		}
	default:
		at, fix = marks[i].Width.Source.Place, problem.Advise("measure the mark again, or remove this line")
		if readings[i].Width > widest {
			fix, row = problem.Advise("measure the mark again, or correct the widest mark"), "widest mark"
		}
		if readings[i].Press > safe {
			at, fix, row = marks[i].Press.Source.Place, problem.Advise("correct the press or the safe press, or remove this line"), "safe press"
		} else if bad.Press {
			at, fix = marks[i].Press.Source.Place, problem.Advise("put the marks in the order of their presses, or remove this line")
		}
	}
	p := problem.Problem{Code: problem.NoCurve, Place: at, Fix: fix, Message: bad.Why}
	if c, _ := d.Find(row); c != nil {
		p.Related = []problem.Related{{Place: c.Source.Place, Note: "the " + row}}
	}
	return p
}

// Lag is how far the mark of a brush lags: by its swatch if that states it, else
// by its row. If both do, the one in the notebook nearer to the recipe counts.
func (v *Values) Lag(d *binding.Definition) (brush.Lag, problem.List) {
	row, stater := d.Find("lag")
	marks, from := d.SwatchMarks()
	var list problem.List
	var trails []brush.Trail
	var first *binding.Cell
	for _, m := range marks {
		if m.Lag == nil {
			continue
		}
		lag, ok := v.Quantity(m.Lag)
		press, known := v.Quantity(m.Press)
		if !ok || !known {
			return brush.Lag{}, nil // reported with the cell
		}
		if first == nil {
			first = m.Lag
		}
		trails = append(trails, brush.Trail{Press: press.In(quantity.MM), Lag: lag.In(quantity.MM)})
	}
	if first != nil && row != nil && stater == from {
		list.Add(problem.Problem{Code: problem.DefinedTwice, Place: row.Head, Fix: problem.Advise("remove this row or the column of the swatch"),
			Message: "both this row and the swatch give the lag of " + d.Title,
			Related: []problem.Related{{Place: first.Source.Place, Note: "the first in the swatch"}}})
		return brush.Lag{}, list
	}
	overridden := false // by a row in a notebook that builds on the swatch's
	for def := d; row != nil && def != from && def != nil; def = def.Base {
		overridden = overridden || def == stater
	}
	if measured := v.Calibration(d); first == nil && row == nil && measured != nil {
		trails = calibrate.Trails(measured.Lags)
	} else if first == nil || overridden {
		return brush.ConstantLag(v.Length(d, "lag")), nil
	}
	lag, err := brush.NewLag(trails)
	if err != nil {
		at := d.Place
		if first != nil {
			at = first.Source.Place
		}
		list.Errorf(problem.NoCurve, at, problem.Advise("measure the lag again"), "%s: %v", d.Title, err)
	}
	return lag, list
}
