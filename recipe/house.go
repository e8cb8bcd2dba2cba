package recipe

import (
	"fmt"
	"runtime"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/source"
	"mahlstick/recipe/working"
)

// houseWorking is a number that the program derives for every brush.
type houseWorking = working.Working

// houseFormulas are what is worked out for each brush, with its name in the
// place of "brush". The taper is that of the cone through the widest mark at
// the safe press (common practice, no source). A height that lies anywhere in
// a band counts as uncertain by half the band over √3 (JCGM 100:2008, 4.3.7).
// 2.3 standard uncertainties leave 1 stroke of 100 above the paper (normal
// distribution, one-sided 1 %: 2.326).
var houseFormulas = []struct{ name, text, remark string }{
	{"half_width", "brush.widest_mark / 2", "half of the widest mark"},
	{"slant", "sqrt(brush.half_width^2 + brush.safe_press^2)", "from the point to the edge of the mark"},
	{"taper", "asin(brush.half_width / brush.slant)", "half of the angle of the tip"},
	{"base_angle", "90*deg - brush.taper", "between the flank of the tip and the paper"},
	{"bed_uncertainty", "machine.bed / sqrt(3)", "the bed lies anywhere within ± machine.bed"},
	{"least_press", "2.3 * sqrt(brush.touch^2 + brush.bed_uncertainty^2)", "pressed less, more than 1 stroke of 100 may miss the paper"},
	{"thinnest", "width_at(brush, brush.least_press)", "the thinnest line that can be promised"},
}

// brush makes the model's brush of a thing, once; nil where it has problems.
func (b *binder) brush(t *thing) *model.Brush {
	if m, ok := b.brushes[t]; ok {
		return m
	}
	b.brushes[t] = nil
	if !b.require(t) || t.failed || t.curve == nil {
		return nil
	}
	length := func(word string) float64 { return plainLength(t.quantity(word)) }
	m := &model.Brush{
		Name: t.name, Title: t.title, File: t.nb.file.Name, Place: t.place, Curve: t.curve,
		WidestMark: length("widest mark"), SafePress: length("safe press"), Touch: length("touch"), TouchMark: length("touch mark"),
		Lag: b.lag(t), TipX: length("tip offset x"), TipY: length("tip offset y"), Entry: length("entry"), Exit: length("exit"),
	}
	b.facts(t)
	b.swatchFacts(t)
	b.promise(t, m)
	b.brushes[t] = m
	b.job.Brushes = append(b.job.Brushes, m)
	return m
}

func (b *binder) swatchFacts(t *thing) {
	rungs, from := t.marks()
	for _, g := range rungs {
		b.job.Facts = append(b.job.Facts, model.Fact{Section: model.Section{Word: swatchWord, Name: from.title}, Word: "width at press " + g.press.q.Short(),
			Value: g.width.q.String(), Place: g.width.src.Place})
		if g.lag != nil {
			b.job.Facts = append(b.job.Facts, model.Fact{Section: model.Section{Word: swatchWord, Name: from.title}, Word: "lag at press " + g.press.q.Short(),
				Value: g.lag.q.String(), Place: g.lag.src.Place})
		}
	}
}

// promise works out the taper of a brush and the thinnest line that can be
// promised with it on this machine.
func (b *binder) promise(t *thing, m *model.Brush) {
	s := newScope(2 * len(houseFormulas))
	known := *t
	if reachable(t.name, "taper") == "" {
		b.unreachable++
		known.name = "brush"
		if b.unreachable > 1 {
			known.name = fmt.Sprintf("brush_%d", b.unreachable)
		}
	}
	s.enter(&known)
	s.set(known.name, t.value, source.Place{})
	bed, ok := byDefault(schema.Find(machineWord).Find("bed"))
	if b.machine != nil {
		bed, ok = b.machine.quantity("bed")
	}
	if !ok {
		return
	}
	s.set("machine.bed", formula.OfQuantity(bed), source.Place{})
	formulas := make([]*formula.Formula, len(houseFormulas))
	for i, h := range houseFormulas {
		formulas[i], _ = formula.Parse(known.name+"."+h.name, strings.ReplaceAll(h.text, "brush", known.name), source.Place{})
		formulas[i].Remark = h.remark
	}
	last := len(formulas) - 1
	spent := b.budget.Spent()
	results, _ := b.budget.Evaluate(formulas, s, runtime.GOMAXPROCS(0))
	if b.budget.Spent() {
		if !spent {
			b.problems.Errorf(problem.TooMuchWork, t.place, problem.Advise("let fewer readings run into its rows"), "the formulas of this recipe need too much work")
		}
		return
	}
	for i, result := range results {
		if _, taken := b.nb.scope.values[result.Formula.Name]; taken || !result.OK {
			continue
		}
		if i == last {
			q, _ := result.Value.Quantity()
			m.Thinnest = q.In(quantity.MM)
		}
		b.house = append(b.house, result.Working)
	}
	if results[last].OK {
		if q, ok := results[last].Value.Quantity(); ok {
			m.Thinnest = q.In(quantity.MM)
		}
		return
	}
	m.Thinnest = m.WidestMark
	b.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.NoPromise, Place: t.place, Fix: problem.Advise("touch off more finely, or level the bed"),
		Message: "touching off and the bed are so uncertain that no line of this brush can be promised: it would need a press beyond the safe press"})
}
