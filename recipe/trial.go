package recipe

import (
	"fmt"

	"golang.org/x/text/unicode/norm"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// trials reads the trials of a swatch sheet.
func (a *assembler) trials() {
	for _, r := range a.recipe.Trials {
		if r.Cells["trial"] == nil {
			continue
		}
		if trial, ok := a.trial(r); ok && r.Complete {
			a.job.Trials = append(a.job.Trials, trial)
		}
	}
	for _, r := range a.recipe.Trials {
		if c := r.Cells["trial"]; c != nil {
			a.facts.record(r, c.Source.String)
		}
	}
}

// trial reads one record of the trials; ok is false if something is wrong with
// it.
func (a *assembler) trial(record *binding.Record) (trial model.Trial, ok bool) {
	name := record.Cells["trial"].Source
	layer := model.Layer{Name: norm.NFC.String(name.String), Place: name.Place}
	l := &layerReader{a: a, record: record, layer: &layer, ok: true}
	trial = model.Trial{Name: layer.Name, Place: name.Place, Feed: l.number("feed", quantity.MMPerMin), Held: l.number("held", quantity.Second)}
	layer.Feed = trial.Feed
	if list := checkFeed("trial", &layer, record.Cells["feed"], &a.job.Machine); len(list) > 0 {
		a.problems, l.ok = append(a.problems, list...), false
	}
	kind := l.word("kind")
	for _, k := range model.TrialKinds() {
		if k.String() == kind {
			trial.Kind = k
		}
	}
	trial.Repeats = countOf(l, "repeats")
	if c := record.Cells["ink"]; c != nil && !l.ink(c) {
		l.ok = false
	}
	trial.Ink = layer.Ink
	if c := record.Cells["brush"]; c != nil {
		if d := l.brushOf(c); d != nil {
			trial.Brush = unmeasuredBrush(a, d)
		}
		l.ok = l.ok && trial.Brush != nil
	}
	if c := record.Cells["press"]; c != nil {
		press, known := a.values.Quantity(c)
		trial.Press = press.In(quantity.MM)
		l.ok = l.ok && known && isSafePress(l, c, press, trial.Brush)
	}
	return trial, l.ok
}

// countOf is a whole number, stated or default.
func countOf(l *layerReader, word string) int {
	c := l.record.Cells[word]
	if c == nil {
		var n int
		_, _ = fmt.Sscan(l.record.Schema.Find(word).Default, &n)
		return n
	}
	l.ok = l.ok && c.Known
	return c.Count
}

// unmeasuredBrush returns the model's brush for a definition of which much may be
// missing, and makes it at the first call. It has no reserve, because the
// presses of trials are stated, and nothing is derived from it.
func unmeasuredBrush(a *assembler, d *binding.Definition) *model.Brush {
	if m, ok := a.brushes[d]; ok {
		return m
	}
	lag, list := a.values.Lag(d)
	a.problems = append(a.problems, list...)
	length := func(word string) float64 { return a.values.Length(d, word) }
	m := &model.Brush{
		Name: d.Name, Title: d.Title, File: d.Notebook.File.Name, Place: d.Place, Curve: a.values.Curve(d),
		WidestMark: length("widest mark"), SafePress: length("safe press"), Touch: length("touch"), TouchMark: length("touch mark"),
		Lag: lag, TipX: length("tip offset x"), TipY: length("tip offset y"), Hair: length("hair"),
	}
	a.facts.rows(d)
	a.facts.swatch(d)
	a.brushes[d] = m
	a.job.Brushes = append(a.job.Brushes, m)
	return m
}

// isSafePress reports whether a press is within what is known of a brush, and adds a
// problem if not.
func isSafePress(l *layerReader, c *binding.Cell, press quantity.Quantity, brush *model.Brush) bool {
	at := press.In(quantity.MM)
	switch {
	case brush == nil:
		return true
	case brush.SafePress > 0 && at > brush.SafePress:
		l.a.problems.Add(problem.Problem{Code: problem.PastSafePress, Place: c.Source.Place,
			Fix:     problem.Advise("write at most the safe press; if that is wrong, correct it in the brush's notebook, or leave it out there"),
			Message: fmt.Sprintf("the trial %q presses %s deep, and the safe press of the brush is %s", l.layer.Name, press.Short(), quantity.New(brush.SafePress, quantity.MM).Short()),
			Related: []problem.Related{{Place: brush.Place, Note: "the brush"}}})
		return false
	case brush.Hair > 0 && at > brush.Hair/2:
		l.a.problems.Add(problem.Problem{Code: problem.FarSafePress, Place: c.Source.Place,
			Fix:     problem.Advise("write at most half of the hair outside the ferrule"),
			Message: fmt.Sprintf("the trial %q presses %s deep, more than half of the hair, which is %s long", l.layer.Name, press.Short(), quantity.New(brush.Hair, quantity.MM).Short()),
			Related: []problem.Related{{Place: brush.Place, Note: "the brush"}}})
		return false
	}
	return true
}
