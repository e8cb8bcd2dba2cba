package recipe

import (
	"errors"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
)

// rung is a line of a swatch.
type rung struct{ press, width, lag *cell } // lag may be nil

// brushes lists the brushes that a notebook states, and those of the
// notebooks that it links.
func (nb *notebook) brushes() (own, linked []*thing) {
	for _, t := range nb.things {
		if t.def.Word == brushWord {
			own = append(own, t)
		}
	}
	for _, other := range nb.direct {
		for _, t := range other.things {
			if t.def.Word == brushWord && t.src != nil {
				linked = append(linked, t)
			}
		}
	}
	return own, linked
}

// noteAstray notes the names of the brushes that layers ask for in vain.
func (b *binder) noteAstray() {
	own, linked := b.nb.brushes()
	known := slices.Concat(own, linked)
	b.nb.astray = map[string]bool{}
	for _, l := range b.layers {
		c := l.cells["brush"]
		if c == nil {
			continue
		}
		names := []string{fold(c.src.String)}
		found := func(t *thing) bool { return t.name == names[0] }
		if len(c.src.Links) > 0 {
			from, link := b.nb.linkedBy(c), c.src.Links[0]
			names = []string{fold(link.Label), fold(strings.TrimSuffix(path.Base(link.Target), ".md"))}
			found = func(t *thing) bool { return t.nb == from }
		}
		if !slices.ContainsFunc(known, found) {
			for _, name := range names {
				b.nb.astray[name] = true
			}
		}
	}
}

// linkedBrush finds the linked brush on which one of the same name builds: what
// the notebook's own states counts, row by row.
func (nb *notebook) linkedBrush(name string) *thing {
	_, linked := nb.brushes()
	for _, t := range linked {
		if t.name == name {
			return t
		}
	}
	return nil
}

// attachSwatch finds the brush of a swatch and reads its marks.
func (r *reader) attachSwatch(nb *notebook, s *section.Section) {
	t := r.brushOfSwatch(nb, s)
	if t == nil {
		return
	}
	if t.swatch != nil {
		r.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: s.Heading.Place, Fix: problem.Advise("put both into one section"),
			Message: "the brush " + t.title + " has two swatches", Related: []problem.Related{{Place: t.swatch.Heading.Place, Note: "the first"}}})
		return
	}
	t.swatch = s
	var step quantity.Quantity
	if c, _ := t.find("caliper"); c != nil && c.known {
		step = c.q
	}
	def := schema.Find(swatchWord)
	lines := r.lines(nb, def, s.Tables, step)
	if len(lines) == 0 && len(s.Tables) == 0 {
		r.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.MissingTable, Place: s.Heading.Place,
			Fix: problem.AddBelow("| press | width |\n|---|---|"), Message: "the swatch has no table of marks"})
	}
	for _, l := range lines {
		if l.whole {
			t.rungs = append(t.rungs, rung{l.cells["press"], l.cells["width"], l.cells["lag"]})
		} else {
			t.failed = true
		}
	}
}

func (r *reader) brushOfSwatch(nb *notebook, s *section.Section) *thing {
	own, linked := nb.brushes()
	name := formula.Fold(s.Name.String)
	if s.Name.Empty() {
		switch {
		case len(own) == 1:
			return own[0]
		case len(own) == 0 && len(linked) == 1:
			return nb.over(linked[0], s)
		}
	}
	var titles []string
	for _, t := range own {
		if t.name == name {
			return t
		}
		titles = append(titles, t.title)
	}
	for _, t := range linked {
		if t.name == name {
			return nb.over(t, s)
		}
		titles = append(titles, t.title)
	}
	at, fix := s.Name.Place, problem.Advise("give it the name of a brush, or add a section Brush")
	if s.Name.Empty() {
		at = s.Heading.Place
		if len(titles) > 0 {
			fix = problem.Write(s.Word + ": " + titles[0])
		}
	} else if near, ok := problem.Nearest(s.Name.String, titles); ok {
		fix = problem.Write(near)
	}
	switch {
	case len(titles) == 0:
		r.problems.Errorf(problem.UnknownBrush, at, fix, "there is no brush for this swatch")
	case s.Name.Empty():
		r.problems.Errorf(problem.UnknownBrush, at, fix, "this swatch may belong to %s", either(titles))
	default:
		r.problems.Errorf(problem.UnknownBrush, at, fix, "no brush is called %q", s.Name.String)
	}
	return nil
}

// over makes a thing of the notebook's own that builds on a linked one.
func (nb *notebook) over(base *thing, s *section.Section) *thing {
	t := &thing{def: base.def, nb: nb, name: base.name, title: base.title, place: s.Heading.Place, rows: map[string]*cell{}, base: base}
	nb.things = append(nb.things, t)
	return t
}

// marks gives the swatch that holds for a brush, and the thing that states it.
func (t *thing) marks() ([]rung, *thing) {
	for at := t; at != nil; at = at.base {
		if at.swatch != nil {
			return at.rungs, at
		}
	}
	return nil, nil
}

// own says whether a thing states anything that shapes its curve.
func (t *thing) shapesCurve() bool {
	return t.base == nil || t.swatch != nil || t.rows["widest mark"] != nil || t.rows["safe press"] != nil || t.rows["touch mark"] != nil
}

// makeCurve fits the curve of a brush whose values are known, and the value
// by which formulas reach it.
func (r *reader) makeCurve(t *thing) {
	if t.curve != nil || t.failed {
		return
	}
	if !t.shapesCurve() {
		t.curve, t.value, t.failed = t.base.curve, t.base.value, t.base.failed
		return
	}
	t.failed = true
	widest, ok1 := t.quantity("widest mark")
	safe, ok2 := t.quantity("safe press")
	touch, ok3 := t.quantity("touch mark")
	if !ok1 || !ok2 || !ok3 {
		return
	}
	rungs, from := t.marks()
	if from != nil && from != t && from.failed {
		return
	}
	readings := make([]brush.Rung, len(rungs))
	for i, g := range rungs {
		if !g.press.known || !g.width.known {
			return
		}
		readings[i] = brush.Rung{Press: g.press.q.In(quantity.MM), Width: g.width.q.In(quantity.MM), UWidth: g.width.q.U(quantity.MM)}
	}
	curve, err := brush.Fit(readings, safe.In(quantity.MM), widest.In(quantity.MM), touch.In(quantity.MM))
	if err != nil {
		r.badRung(t, rungs, readings, safe.In(quantity.MM), widest.In(quantity.MM), err)
		return
	}
	t.curve, t.failed = curve, false
	widths := []quantity.Quantity{touch}
	for i, g := range rungs {
		if !(i == 0 && readings[i].Press == 0) && !(i == len(rungs)-1 && readings[i].Press == safe.In(quantity.MM)) {
			widths = append(widths, g.width.q)
		}
	}
	t.value = formula.OfBrush(&formula.Brush{Name: t.name, Curve: curve, Widths: append(widths, widest)})
	for _, i := range curve.Pooled() {
		r.problems.Warnf(problem.PooledMark, rungs[i].width.src.Place, problem.Advise("measure it again when there is time"),
			"the mark of %s lies off the others by no more than its uncertainty; the curve takes their mean", rungs[i].width.q)
	}
}

// badRung points at the mark that keeps a curve from rising.
func (r *reader) badRung(t *thing, rungs []rung, readings []brush.Rung, safe, widest float64, err error) {
	var bad *brush.RungError
	if !errors.As(err, &bad) {
		r.problems.Errorf(problem.NoCurve, t.place, problem.Advise("measure the brush again"), "%s: %v", t.title, err)
		return
	}
	at, fix, row := t.place, problem.Advise("correct the row"), ""
	switch i := bad.Index; {
	case i < 0:
		if c, _ := t.find("touch mark"); c != nil {
			at = c.src.Place
		}
	case i >= len(rungs):
		if c, _ := t.find("widest mark"); c != nil {
			at = c.src.Place
		}
	default:
		at, fix = rungs[i].width.src.Place, problem.TakeOut(", or measure the mark again")
		if readings[i].Width > widest {
			fix, row = problem.TakeOut(", measure the mark again, or correct the widest mark"), "widest mark"
		}
		if readings[i].Press > safe {
			at, fix, row = rungs[i].press.src.Place, problem.TakeOut(", or correct the safe press"), "safe press"
		} else if i > 0 && readings[i].Press <= readings[i-1].Press || strings.HasPrefix(bad.Why, "the press") || strings.HasPrefix(bad.Why, "a press") {
			at, fix = rungs[i].press.src.Place, problem.TakeOut(", or put the marks in the order of their presses")
		}
	}
	p := problem.Problem{Code: problem.NoCurve, Place: at, Fix: fix, Message: bad.Why}
	if c, _ := t.find(row); c != nil {
		p.Related = []problem.Related{{Place: c.src.Place, Note: "the " + row}}
	}
	r.problems.Add(p)
}

// lag gives how far the mark of a brush trails: by its swatch where that tells
// it, else by its row. Where both are stated, what the recipe overrides yields.
func (b *binder) lag(t *thing) brush.Lag {
	row, stater := t.find("lag")
	rungs, from := t.marks()
	var trails []brush.Trail
	var first *cell
	for _, g := range rungs {
		if g.lag == nil {
			continue
		}
		if !g.lag.known || !g.press.known {
			return brush.Lag{} // told already
		}
		if first == nil {
			first = g.lag
		}
		trails = append(trails, brush.Trail{Press: g.press.q.In(quantity.MM), Lag: g.lag.q.In(quantity.MM)})
	}
	if first != nil && row != nil && stater == from {
		b.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: row.head, Fix: problem.TakeOut(", or the swatch's column"),
			Message: "the lag of " + t.title + " is stated by this row and by its swatch",
			Related: []problem.Related{{Place: first.src.Place, Note: "the first in the swatch"}}})
		return brush.Lag{}
	}
	over := false // the row stands in a notebook that builds on the swatch's
	for at := t; row != nil && at != from && at != nil; at = at.base {
		over = over || at == stater
	}
	if first == nil || over {
		return brush.EvenLag(plainLength(t.quantity("lag")))
	}
	lag, err := brush.NewLag(trails)
	if err != nil {
		b.problems.Errorf(problem.NoCurve, first.src.Place, problem.Advise("measure the lag again"), "%s: %v", t.title, err)
	}
	return lag
}
