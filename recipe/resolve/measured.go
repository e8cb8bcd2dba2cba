package resolve

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/brush"
	"mahlstick/recipe/calibrate"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/reading"
)

// Calibration is what readings say of a brush, nil where its swatch is plain.
func (v *Values) Calibration(d *binding.Definition) *calibrate.Result {
	_, from := d.SwatchMarks()
	return v.calibrations[from]
}

// MeasuredRow is the value of a row by readings; ok is false if they do not tell.
func (v *Values) MeasuredRow(d *binding.Definition, word string) (q quantity.Quantity, ok bool) {
	for def := d; def != nil && !ok; def = def.Base {
		q, ok = v.measured[def][word]
	}
	return q, ok
}

// HasRow reports whether a row's value comes from readings, or would if they could
// be read, which was reported.
func (v *Values) HasRow(d *binding.Definition, word string) bool {
	_, ok := v.MeasuredRow(d, word)
	_, from := d.SwatchMarks()
	return ok || from != nil && v.unread[from]
}

// calibrate reads the readings of a brush's swatch, once.
func (r *resolver) calibrate(d *binding.Definition) {
	v := r.values
	if !d.Measured() {
		return
	}
	text, _ := d.Find("pool")
	b := calibrate.Brush{Name: d.Name, Title: d.Title, File: d.Notebook.File.Name, Caliper: v.Length(d, "caliper"), Touch: v.Length(d, "touch"), Place: d.Place}
	if text != nil && text.Known {
		b.Pool = calibrate.Pool(slices.Index(calibrate.Pools, text.Word))
	}
	var links []calibrate.Link
	for _, s := range d.Sheets {
		links = append(links, calibrate.Link{Sheet: s.Sheet, Place: s.Place})
	}
	table, ok := readTable(v, d)
	if !ok {
		v.unread[d] = true // reported with its cells
		return
	}
	result, list := calibrate.Read(b, links, table)
	r.problems = append(r.problems, list...)
	v.unread[d] = list.HasErrors()
	if result == nil {
		return
	}
	v.calibrations[d] = result
	if c, _ := d.Find("safe press"); c == nil && !result.Grew && !list.HasErrors() {
		r.problems = append(r.problems, noSafePress(d, result))
		v.unread[d] = true
	}
	rows := map[string]quantity.Quantity{}
	at := quantity.Reading{File: result.Place().Name(), Offset: result.Place().Start}
	set := func(word string, e measure.Estimate) {
		if e.Known() {
			at.Offset++ // each is a reading of its own
			rows[word] = quantity.Measured(e.Value, quantity.MM, e.U, at)
		}
	}
	set("touch mark", result.Ladder.TouchMark)
	if result.Grew { // else it is only known that the deepest press was not too deep
		set("safe press", result.Safe)
	}
	if result.Play.WorthUsing() {
		set("play", result.Play)
	}
	set("tip offset x", result.TipX)
	set("tip offset y", result.TipY)
	if t := result.Touch; t.Known() && t.Value > 0 {
		rows["touch"] = quantity.New(t.Value, quantity.MM)
	}
	v.measured[d] = rows
}

// noSafePress is the problem of readings that do not show how deep a brush may be
// pressed.
func noSafePress(d *binding.Definition, result *calibrate.Result) problem.Problem {
	p := problem.Problem{Code: problem.MissingRow, Place: result.Place(), Message: "the readings do not show the safe press of " + d.Title + ": "}
	if !result.Safe.Known() {
		p.Message += "fewer than four light marks were measured after rungs of the ladder"
		p.Fix = problem.Advise("measure the short light marks after the rungs too, or state the safe press in the notebook of the brush")
		return p
	}
	p.Message += fmt.Sprintf("the light mark after each rung was as narrow as ever, down to the deepest press that was tried, %.2f mm", result.Safe.Value)
	p.Fix = problem.Advise("state the safe press in the notebook of the brush, at most the deepest press from which you saw the tip spring back; or paint a ladder that goes deeper, step by step")
	return p
}

// readTable are the marks that a swatch itself states, as readings; ok is false if one
// has no value.
func readTable(v *Values, d *binding.Definition) (rows []reading.Row, ok bool) {
	in := func(c *binding.Cell, unit quantity.Unit) float64 {
		if c == nil {
			return 0
		}
		q, known := v.Quantity(c)
		ok = ok && known
		return q.In(unit)
	}
	ok = true
	for _, m := range d.Marks {
		width, known := v.Quantity(m.Width)
		ok = ok && known
		row := reading.Row{Place: m.Width.Source.Place, Press: in(m.Press, quantity.MM),
			Values: []reading.Value{{MM: width.In(quantity.MM), U: width.U(quantity.MM), Place: m.Width.Source.Place}}}
		if r := m.Reading; r != nil {
			row.Feed, row.Dwell = in(r.Feed, quantity.MMPerMin), in(r.Dwell, quantity.Second)
			row.Above = r.From != nil && r.From.Word == "above"
			row.Dot = r.Dwell != nil
			if r.By != nil {
				row.By = r.By.Source.String
			}
			if r.LeftOut != nil {
				row.LeftOut = r.LeftOut.Source.String
			}
		}
		rows = append(rows, row)
	}
	return rows, ok
}

// fitMeasured fits the curve of a brush whose swatch holds readings: down to its
// safe press, stated or as they suggest, and never deeper than they reach.
func fitMeasured(v *Values, d *binding.Definition) (curve Curve, list problem.List) {
	result := v.Calibration(d)
	safeQuantity, known := v.Row(d, "safe press")
	if result == nil || !known {
		return curve, nil
	}
	safe := safeQuantity.In(quantity.MM)
	knots := result.Ladder.Knots
	deepest := knots[len(knots)-1].Press
	if i := slices.IndexFunc(knots, func(k measure.Knot) bool { return k.Press >= safe }); i >= 0 {
		deepest = max(knots[i].Press, knots[min(measure.Fewest, len(knots))-1].Press)
	}
	full, err := result.Ladder.Curve(deepest)
	defer func() {
		if _, from := d.SwatchMarks(); list.HasErrors() {
			v.unread[from] = true
		}
	}()
	if err != nil {
		list.Add(noCurve(d, result, err))
		return curve, list
	}
	widest, touch, list := curveEnds(v, d, full, safe)
	if list.HasErrors() {
		return curve, list
	}
	marks := full.Marks()
	marks = slices.DeleteFunc(marks[1:], func(m brush.Mark) bool { return m.Press >= safe })
	fitted, err := brush.Fit(marks, safe, widest.In(quantity.MM), touch.In(quantity.MM))
	if err != nil {
		list.Add(noCurve(d, result, err))
		return curve, list
	}
	fitted = fitted.Doubted(result.Ladder.Doubt(touch.U(quantity.MM), widest.U(quantity.MM)))
	widths := []quantity.Quantity{touch}
	for i, m := range fitted.Marks()[1 : len(fitted.Marks())-1] {
		widths = append(widths, quantity.Measured(m.Width, quantity.MM, m.UWidth, quantity.Reading{File: result.Place().Name(), Offset: result.Place().Start + 100 + i}))
	}
	return Curve{fitted, formula.OfBrush(&formula.Brush{Name: d.Name, Curve: fitted, Widths: append(widths, widest)})}, list
}

// curveEnds are the widths at the safe press and at the touch: as stated, else as
// measured.
func curveEnds(v *Values, d *binding.Definition, full *brush.Curve, safe float64) (widest, touch quantity.Quantity, list problem.List) {
	touch, _ = v.Row(d, "touch mark")
	if cell, _ := d.Find("widest mark"); cell != nil {
		widest, _ = v.Quantity(cell)
		return widest, touch, nil
	}
	width, err := full.WidthAt(safe)
	if err != nil {
		at := d.Place
		if cell, _ := d.Find("safe press"); cell != nil {
			at = cell.Source.Place
		}
		list.Errorf(problem.FarSafePress, at, problem.Advise("write at most that, measure deeper marks, or state the widest mark as measured at the safe press"),
			"the safe press of %.2f mm is deeper than the deepest mark that was measured, %.2f mm", safe, full.SafePress())
		return widest, touch, list
	}
	u, _ := full.U(safe)
	result := v.Calibration(d)
	widest = quantity.Measured(math.Round(width*1e6)/1e6, quantity.MM, math.Round(u*1e6)/1e6, quantity.Reading{File: result.Place().Name(), Offset: result.Place().Start + 99})
	if v.measured[d] == nil {
		v.measured[d] = map[string]quantity.Quantity{}
	}
	v.measured[d]["widest mark"] = widest
	return widest, touch, nil
}

// noCurve is the problem of readings that make no curve.
func noCurve(d *binding.Definition, result *calibrate.Result, err error) problem.Problem {
	p := problem.Problem{Code: problem.NoCurve, Place: result.Place(), Fix: problem.Advise("measure the marks again, or write why one does not count into a column \"left out\""), Message: d.Title + ": " + err.Error()}
	var falls *measure.FallError
	if errors.As(err, &falls) {
		p.Place = result.PlaceOf(falls.Reading)
		p.Related = []problem.Related{{Place: result.PlaceOf(falls.Wide.Readings[0]), Note: "the wider mark"}}
	}
	if errors.Is(err, measure.ErrNoFit) {
		p.Code, p.Message = problem.TooFewPresses, "marks were read at too few presses above the safe press for a curve of "+d.Title
	}
	return p
}
