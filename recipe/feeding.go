package recipe

import (
	"errors"
	"fmt"
	"math"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/format"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/resolve"
)

// readFeed reads the feed of a layer where it is the same everywhere.
func readFeed(l *layerReader) {
	c := l.record.Cells["feed"]
	if c != nil && c.Along {
		l.ok = l.ok && l.a.values.Known(c)
		return
	}
	l.layer.Feed = l.number("feed", quantity.MMPerMin)
	if list := checkFeed("layer", l.layer, c, &l.a.job.Machine); len(list) > 0 {
		l.a.problems, l.ok = append(l.a.problems, list...), false
	}
}

// readFeeding reads the feed of a layer where a formula gives it, for the brush that is
// mounted. It reports false if something is wrong with it.
func readFeeding(l *layerReader, mounted *model.Brush) bool {
	c := l.record.Cells["feed"]
	if c == nil || !c.Along {
		return true
	}
	by := resolve.FeedOf(l.a.values, c)
	if by == nil || mounted.Curve == nil {
		return false
	}
	place := c.Source.Formula.Place
	f := &model.Feeding{By: by, Curve: mounted.Curve, Deepest: mounted.DeepestPress(), Text: c.Source.Formula.String, Place: place}
	if list := spreadsBy(l.layer, mounted, f); len(list) > 0 {
		l.a.problems = append(l.a.problems, list...)
		return false
	}
	slow, fast, atSlow, atFast, err := f.Range()
	if err != nil {
		var p problem.Problem
		if !errors.As(err, &p) {
			p = problem.Problem{Code: problem.OutOfDomain, Place: place, Message: err.Error(), Fix: problem.Advise("check the formula and the brush")}
		}
		l.a.problems.Add(p)
		return false
	}
	f.Slowest, f.Fastest = slow, fast
	l.layer.Feeding, l.layer.Feed = f, fast
	showFeeding(l)
	list := checkFeeding(l, atSlow, atFast)
	l.a.problems = append(l.a.problems, list...)
	return !list.HasErrors()
}

// showFeeding shows the formula of the feed worked out at its two ends.
func showFeeding(l *layerReader) {
	f, scope := l.layer.Feeding, l.a.values.Of(l.a.recipe.Notebook).Scope()
	owner := formula.Fold(l.layer.Name)
	if binding.FullName(owner, "feed") == "" {
		owner = fmt.Sprintf("layer_%d", len(l.a.job.Layers)+1)
	}
	for _, end := range [...]struct {
		name, remark string
		press        float64
	}{{"feed at touch", "at the lightest touch", 0}, {"feed deepest", "at the deepest press", f.Deepest}} {
		if width, err := f.Curve.WidthAt(end.press); err == nil {
			remark := end.remark
			if f.By.Uses("bend") || f.By.Uses("along") {
				remark += ", in the middle of a stroke that does not bend"
			}
			l.a.derived = append(l.a.derived, resolve.ShowFeed(binding.FullName(owner, end.name), remark, f.Text, end.press, width, scope, l.a.budget)...)
		}
	}
}

// checkFeeding checks the range of the feeds that a formula gives, whose slowest and
// fastest are at presses in mm.
func checkFeeding(l *layerReader, atSlow, atFast float64) (list problem.List) {
	f, field := l.layer.Feeding, l.record.Schema.Find("feed")
	text := func(feed, press float64) string {
		return format.Plain.Feed(feed) + " at a press of " + format.Plain.Number(press, 2) + " mm"
	}
	least := quantity.New(field.Least, field.Unit).Short()
	if f.Slowest < field.Least {
		list.Errorf(problem.OutOfRange, f.Place, problem.Advise("write a formula that is at least "+least+" down to the deepest press, "+format.Plain.Number(f.Deepest, 2)+" mm, as greatest(..., 150*mm/min) is"),
			"the feed would be %s, and the slowest feed is %s", text(f.Slowest, atSlow), least)
		return list
	}
	if m := &l.a.job.Machine; m.FastestFeed > 0 && f.Fastest > m.FastestFeed {
		fastest := quantity.New(m.FastestFeed, quantity.MMPerMin).Short()
		list.Add(problem.Problem{Code: problem.TooFast, Place: f.Place,
			Message: fmt.Sprintf("the layer %q would be painted at %s, and the machine moves at most at %s", l.layer.Name, text(f.Fastest, atFast), fastest),
			Fix:     problem.Advise("write a formula that is at most " + fastest + ", as least(..., " + format.Plain.Number(m.FastestFeed, 0) + "*mm/min) is, or state the machine's fastest feed"),
			Related: []problem.Related{{Place: m.Place, Note: "the machine"}}})
		return list
	}
	for _, end := range [...]struct{ feed, press float64 }{{f.Slowest, atSlow}, {f.Fastest, atFast}} {
		if !field.IsUsual(end.feed) {
			list.Warnf(problem.Unusual, f.Place, problem.Advise("usual is "+field.Usual()), "feed of %s is unusual", text(end.feed, end.press))
		}
	}
	return list
}

// spreadsBy checks that a feed can be followed where the marks of a brush spread by
// feed: it must be known from the press alone, and a deeper press must still paint a
// wider mark.
func spreadsBy(layer *model.Layer, b *model.Brush, f *model.Feeding) (list problem.List) {
	if b.Spreading == nil {
		return nil
	}
	for _, name := range [...]string{"bend", "along"} {
		if f.By.Uses(name) {
			list.Errorf(problem.NotAllowed, f.Place, problem.Advise("use press and width only, or a brush that was not measured at several feeds"),
				"marks of %s get wider the slower they are painted, so the feed of the layer %q must not depend on %s", b.Title, layer.Name, name)
			return list
		}
	}
	before := 0.0
	for press := range f.Presses {
		feed, err := f.At(press, 0, 0)
		width, wrong := b.Curve.WidthAt(press)
		if err != nil || wrong != nil || feed <= 0 {
			return nil // reported with the range
		}
		width = b.Spreading.At(width, b.Spreading.Feed, feed)
		if width < before-1e-9 {
			list.Errorf(problem.NotAllowed, f.Place, problem.Advise("write a feed that rises less with the press"),
				"at this feed marks of %s would get narrower again, at a press of %s mm, although the brush is pressed deeper", b.Title, format.Plain.Number(press, 2))
			return list
		}
		before = width
	}
	return nil
}

// followed (mm) is how far the widths between the marks of a curve may be from those
// that the feed there makes of them.
const followed = 0.02

// spreadsEvenly checks that the curve of a layer's brush, whose marks are those of
// the swatch at the feeds of the layer, holds between them too.
func spreadsEvenly(layer *model.Layer) (list problem.List) {
	f, b := layer.Feeding, layer.Brush
	if f == nil || b == nil || b.Spreading == nil {
		return nil
	}
	s := b.Spreading
	for press := range f.Presses {
		measured, err := s.Curve.WidthAt(press)
		width, wrong := b.Curve.WidthAt(press)
		if err != nil || wrong != nil {
			return nil
		}
		if off := math.Abs(width - s.At(measured, s.Feed, f.Of(press, s.Painted))); off > followed {
			list.Errorf(problem.NotAllowed, f.Place, problem.Advise("write a feed that changes more evenly with the press, or measure more marks there"),
				"the feed changes so quickly near a press of %s mm that the widths of %s are %s mm in doubt there", format.Plain.Number(press, 2), b.Title, format.Plain.Number(off, 3))
			return list
		}
	}
	return nil
}
