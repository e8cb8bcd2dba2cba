package recipe

import (
	"errors"
	"fmt"
	"math"

	"mahlstick/recipe/bed"
	"mahlstick/recipe/binding"
	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
)

// touchDoubt (mm) is the standard uncertainty of a touched height without a ±:
// the default of a brush's row touch.
const touchDoubt = 0.1

// flatness reads the heights of the paper.
type flatness struct{ a *assembler }

// read reads where brushes are touched off, and makes the surface of the
// touched heights.
func (f flatness) read(d *binding.Definition) {
	a := f.a
	x, _ := d.Find("touch-off x")
	y, _ := d.Find("touch-off y")
	if x == nil && y == nil {
		return
	}
	if x == nil || y == nil {
		stated, other := x, "touch-off y"
		if x == nil {
			stated, other = y, "touch-off x"
		}
		a.problems.Errorf(problem.MissingRow, stated.Source.Place, problem.Advise("state "+other+" too, or neither"), "the sheet states only one of touch-off x and touch-off y")
		return
	}
	s := &a.job.Sheet
	at := model.TouchOff{Stated: true, X: a.values.Length(d, "touch-off x"), Y: a.values.Length(d, "touch-off y")}
	if !a.values.Known(x) || !a.values.Known(y) || s.Width == 0 {
		return
	}
	if at.X > s.Width || at.Y > s.Height {
		a.problems.Errorf(problem.OffSheet, x.Source.Place, problem.Advise("write a place on the sheet, best in its margin"),
			"the place of touching off, (%s, %s), is not on the sheet of %s", shortMM(at.X), shortMM(at.Y), s.Size)
		return
	}
	s.TouchOff = at
	if touches, doubt, ok := f.touches(); ok && len(touches) > 0 {
		f.surface(touches, bed.Setup{TouchOffX: at.X, TouchOffY: at.Y, Touched: doubt, Area: bed.Box{MaxX: s.Width, MaxY: s.Height}})
	}
}

// touches are the heights of Flatness; doubt is the standard uncertainty of one.
func (f flatness) touches() (touches []bed.Touch, doubt float64, ok bool) {
	a := f.a
	s, squares := &a.job.Sheet, 0.0
	ok = true
	for i, r := range a.recipe.Heights {
		a.facts.record(r, fmt.Sprintf("%d", i+1))
		if !r.Complete {
			ok = false
			continue
		}
		x, ok1 := a.values.Quantity(r.Cells["x"])
		y, ok2 := a.values.Quantity(r.Cells["y"])
		height, ok3 := a.values.Quantity(r.Cells["height"])
		if !ok1 || !ok2 || !ok3 {
			ok = false
			continue
		}
		t := bed.Touch{X: x.In(quantity.MM), Y: y.In(quantity.MM), Height: height.In(quantity.MM)}
		if t.X < 0 || t.Y < 0 || t.X > s.Width || t.Y > s.Height {
			a.problems.Errorf(problem.OffSheet, r.Cells["x"].Source.Place, problem.Advise("measure the place from the lower left corner of the sheet"),
				"the height at (%s, %s) is not on the sheet of %s", x.Short(), y.Short(), s.Size)
			ok = false
			continue
		}
		u := touchDoubt
		if height.Uncertain() {
			u = height.U(quantity.MM)
		}
		squares += float64(u * u)
		touches = append(touches, t)
	}
	if len(touches) == 0 {
		return nil, 0, ok
	}
	return touches, math.Sqrt(squares / float64(len(touches))), ok
}

// surface makes the surface of touched heights.
func (f flatness) surface(touches []bed.Touch, setup bed.Setup) {
	a := f.a
	band, known := binding.Default(schema.Find(schema.Machine).Find("bed"))
	if a.recipe.Machine != nil {
		band, known = a.values.Row(a.recipe.Machine, "bed")
	}
	if known {
		setup.Flat = band.In(quantity.MM) / math.Sqrt(3)
	}
	surface, err := bed.Fit(touches, setup)
	if errors.Is(err, bed.ErrFew) {
		a.problems.Errorf(problem.FewHeights, a.recipe.Heights[0].Row.Place, problem.Advise("touch at least three places that are not in a line; nine in three rows show how the bed bends"),
			"the heights of Flatness, %s, do not make a plane", format.Count(len(touches), "touch"))
		return
	}
	a.job.Sheet.Surface = surface
	if o, found := bed.FindOutlier(surface); found {
		t, c := touches[o.Touch], a.recipe.Heights[o.Touch].Cells["height"]
		a.problems.Warnf(problem.OutlyingReading, c.Source.Place, problem.Advise("touch that place again, and correct the height"),
			"the height %s at (%s, %s) does not fit the others: without it the surface has %s mm there, and the others fit within %s mm", c.Source.String, shortMM(t.X), shortMM(t.Y),
			format.Plain.Fixed(o.Without, 2), format.Plain.Fixed(max(o.Others, 0.01), 2))
	}
	left := quantity.New(math.Round(float64(surface.GreatestDoubt()*1e4))/1e4, quantity.MM)
	a.bedLeft = &left
}

// checkSlope reports a layer whose feed is too fast for Z to follow the surface.
func (f flatness) checkSlope() {
	a := f.a
	s, m := &a.job.Sheet, &a.job.Machine
	if s.Surface == nil || m.ZFeed == 0 {
		return
	}
	slope, x, y := s.Surface.Steepest()
	share := slope / math.Sqrt(1+float64(slope*slope))
	report := func(l *model.Layer) bool {
		if float64(l.Feed*share) <= m.ZFeed {
			return false
		}
		a.problems.Add(problem.Problem{Code: problem.BedTooSteep, Place: a.recipe.Heights[0].Row.Place,
			Message: fmt.Sprintf("the surface of the touched heights rises by %s mm a mm at (%s, %s): at the %s of %q, Z would move at %s, and it moves at most at %s",
				format.Plain.Number(slope, 2), shortMM(x), shortMM(y), quantity.New(l.Feed, quantity.MMPerMin).Short(), l.Name,
				quantity.New(math.Ceil(float64(l.Feed*share)), quantity.MMPerMin).Short(), quantity.New(m.ZFeed, quantity.MMPerMin).Short()),
			Fix: problem.Advise("check the heights and their unit, and touch the corners of the picture too; else level the bed")})
		return true
	}
	for i := range a.job.Layers {
		if report(&a.job.Layers[i]) {
			return
		}
	}
	for _, t := range a.job.Trials {
		if report(&model.Layer{Name: t.Name, Feed: t.Feed}) {
			return
		}
	}
}

func shortMM(v float64) string { return quantity.New(v, quantity.MM).Short() }
