package recipe

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
)

// wellReader reads the wells of a job and hands each to the layers that are
// painted with its ink. Layers and seatings are there already.
type wellReader struct{ a *assembler }

func (w wellReader) read() {
	var wells []*model.Well
	var rows []*binding.Record
	for _, r := range w.a.recipe.Wells {
		w.a.facts.record(r, cellText(r, "ink"))
		if !r.Complete {
			continue
		}
		well, ok := w.well(r)
		if !ok || w.twice(well, wells) {
			continue
		}
		wells, rows = append(wells, well), append(rows, r)
		w.place(well, r)
		w.wiped(well, r)
		w.give(well, r)
	}
	over := 0.0
	for _, well := range wells {
		over = max(over, well.Rim+model.OverRim)
	}
	for i, one := range wells {
		one.Over = over
		for _, other := range wells[:i] {
			if one.Around().Overlaps(other.Around()) {
				w.a.problems.Add(problem.Problem{Code: problem.WellInTheWay, Place: one.Place, Fix: problem.Advise("move one of them"),
					Message: fmt.Sprintf("the wells of %s and %s lie on each other", other.Ink, one.Ink), Related: []problem.Related{{Place: other.Place, Note: "the other well"}}})
			}
		}
	}
	for i, well := range wells {
		w.strip(well, wells, i, rows[i])
	}
}

// strip reports a scrap strip so near to a well that the brush would be driven over
// the rim, and one that lies on that of another ink before it.
func (w wellReader) strip(well *model.Well, wells []*model.Well, number int, r *binding.Record) {
	s := well.Scrap
	if s == nil {
		return
	}
	half := 0.0
	for _, l := range w.a.job.Layers {
		if l.Well == well {
			half = max(half, l.Brush.WidestMark/2)
		}
	}
	clear := model.WellClear + half
	for i, other := range wells {
		near := other.Around().Grown(clear - 1e-6) // no error for what a unit of length rounds
		p := problem.Problem{Code: problem.WellInTheWay, Place: r.Cells["scrap x"].Source.Place, Related: []problem.Related{{Place: other.Place, Note: "the well"}}}
		switch {
		case near.Overlaps(*s):
			p.Message = fmt.Sprintf("the scrap strip of %s lies less than %s from the well of %s, or on it: the brush would be driven over the rim", well.Ink, shortMM(clear), other.Ink)
			p.Fix = problem.Advise(fmt.Sprintf("move the strip out of X%s to %s, Y%s to %s: the well, its wipe and %s around them",
				minus(near.MinX), minus(near.MaxX), minus(near.MinY), minus(near.MaxY), shortMM(clear)))
		case i < number && other.Scrap != nil && s.Overlaps(*other.Scrap):
			p.Message = fmt.Sprintf("the scrap strips of %s and %s lie on each other: a brush would take up the other ink", other.Ink, well.Ink)
			p.Fix, p.Related[0].Note = problem.Advise("give each ink a strip of its own"), "the other strip"
		default:
			continue
		}
		w.a.problems.Add(p)
	}
}

// wiped reports a place to wipe the brush that is in the mouth of the well.
func (w wellReader) wiped(well *model.Well, r *binding.Record) {
	p := well.Wipe
	if p == nil {
		return
	}
	word, half := "wipe x", well.Opening/2
	along, across := math.Abs(p.X-well.X), math.Abs(p.Y-well.Y)
	if along < across {
		word = "wipe y"
	}
	if d := math.Hypot(along, across); d <= half {
		w.a.problems.Errorf(problem.OutOfRange, r.Cells[word].Source.Place, problem.Advise("carry the tip to a place just outside the rim, and read it there; or leave wipe x and wipe y out"),
			"the place to wipe the brush is %s from the middle of the well of %s, whose opening reaches to %s: the brush would not be drawn over the rim", shortMM(math.Round(float64(d*100))/100), well.Ink, shortMM(half))
	}
}

// well is the well of a row; false if its numbers are not all known or something
// is stated by half.
func (w wellReader) well(r *binding.Record) (*model.Well, bool) {
	known := true
	length := func(word string) float64 {
		c := r.Cells[word]
		if c == nil {
			return 0
		}
		q, ok := w.a.values.Quantity(c)
		if known = known && ok; !ok {
			return 0
		}
		return q.In(quantity.MM)
	}
	ink := r.Cells["ink"].Source
	well := &model.Well{Ink: ink.String, Place: ink.Place, X: length("x"), Y: length("y"), Opening: length("opening"), Rim: length("rim"), Depth: length("depth")}
	seconds, ok := binding.Default(r.Schema.Find("seconds"))
	if c := r.Cells["seconds"]; c != nil {
		seconds, ok = w.a.values.Quantity(c)
	}
	well.Seconds = seconds.In(quantity.Second)
	if w.together(r, "wipe x", "wipe y") {
		well.Wipe = &model.BedPlace{X: length("wipe x"), Y: length("wipe y")}
	}
	if w.together(r, "scrap x", "scrap y", "scrap width", "scrap height") {
		x, y := length("scrap x"), length("scrap y")
		well.Scrap = &model.BedBox{MinX: x, MinY: y, MaxX: x + length("scrap width"), MaxY: y + length("scrap height")}
	}
	return well, known && ok
}

// together reports whether cells that belong together are stated, and adds a
// problem if only some are.
func (w wellReader) together(r *binding.Record, words ...string) bool {
	stated := slices.DeleteFunc(slices.Clone(words), func(word string) bool { return r.Cells[word] == nil })
	if len(stated) == 0 {
		return false
	}
	missing := slices.DeleteFunc(slices.Clone(words), func(word string) bool { return slices.Contains(stated, word) })
	if len(missing) > 0 {
		w.a.problems.Errorf(problem.MissingValue, r.Cells[stated[0]].Source.Place, problem.Advise("state "+strings.Join(missing, ", ")+" too, or none of them"),
			"the well states %s without %s", strings.Join(stated, ", "), strings.Join(missing, ", "))
	}
	return len(missing) == 0
}

// twice reports a second well of one ink.
func (w wellReader) twice(well *model.Well, wells []*model.Well) bool {
	for _, other := range wells {
		if formula.Fold(other.Ink) == formula.Fold(well.Ink) {
			w.a.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: well.Place, Fix: problem.Advise("leave one of them out: an ink has one well"),
				Message: fmt.Sprintf("the ink %q has two wells", well.Ink), Related: []problem.Related{{Place: other.Place, Note: "the first"}}})
			return true
		}
	}
	return false
}

// place reports a well that is over the sheet, or too high or too deep for the
// machine.
func (w wellReader) place(well *model.Well, r *binding.Record) {
	sheet, m := &w.a.job.Sheet, &w.a.job.Machine
	bed := placeOnBed(sheet)
	if bed.width == 0 || m.ReachZ == 0 { // reported
		return
	}
	whole, inside := bed.box(0), bed.box(sheet.Margin)
	if well.Around().Overlaps(whole) {
		w.a.problems.Errorf(problem.WellInTheWay, r.Cells["x"].Source.Place, problem.Advise("put it beside the sheet, with some room for the hand that fills it"),
			"the well of %s, or the place to wipe the brush, lies over the sheet", well.Ink)
	}
	if well.Scrap != nil && well.Scrap.Overlaps(whole) {
		w.scrapOnSheet(well, r, well.Scrap.Within(whole) && !well.Scrap.Overlaps(inside))
	}
	if lowest := m.SafeHeight - m.ReachZ; -well.Depth < lowest {
		w.a.problems.Errorf(problem.OutOfReach, r.Cells["depth"].Source.Place, problem.Advise("raise the well, or mount the brush lower"),
			"a depth of %s is beyond the reach of Z, which ends %s below the first touch of the paper", shortMM(well.Depth), shortMM(-lowest))
	}
	if well.Depth <= -well.Rim {
		w.a.problems.Errorf(problem.OutOfRange, r.Cells["depth"].Source.Place, problem.Advise("count both from the first touch of the paper: the depth downwards, the rim upwards"),
			"with a depth of %s the tip stays above the rim, which is %s above the paper", shortMM(well.Depth), shortMM(well.Rim))
	}
	if need := well.Rim + model.OverRim; need > m.RestZ {
		w.a.problems.Errorf(problem.OutOfRange, r.Cells["rim"].Source.Place, problem.Advise("state a rest z of at least "+shortMM(need)+", or use a lower well"),
			"over a rim of %s the brush goes at %s, and no program goes higher than rest z, %s", shortMM(well.Rim), shortMM(need), shortMM(m.RestZ))
	}
}

// scrapOnSheet reports a scrap strip on the sheet that is not in a margin, or
// would move with the sheet.
func (w wellReader) scrapOnSheet(well *model.Well, r *binding.Record, inMargin bool) {
	at := r.Cells["scrap x"].Source.Place
	moved := slices.ContainsFunc(w.a.job.Layers, func(l model.Layer) bool { return l.Seating != nil })
	switch {
	case !inMargin:
		w.a.problems.Errorf(problem.WellInTheWay, at, problem.Advise("put it beside the sheet, or wholly into one margin"),
			"the scrap strip of %s lies over the sheet, and not wholly in a margin", well.Ink)
	case moved:
		w.a.problems.Errorf(problem.WellInTheWay, at, problem.Advise("put it beside the sheet"),
			"the scrap strip of %s is in a margin, and the sheet is put back: the strip stays where it is on the bed", well.Ink)
	}
}

// give hands a well to the layers of its ink, and reports one that no layer has, or
// that a brush cannot use.
func (w wellReader) give(well *model.Well, r *binding.Record) {
	used := false
	var inks []string
	for i := range w.a.job.Layers {
		l := &w.a.job.Layers[i]
		inks = append(inks, l.Ink.Name)
		if name := formula.Fold(well.Ink); name != formula.Fold(l.Ink.Name) && !strings.EqualFold(well.Ink, l.Ink.Hex) {
			continue
		}
		used = true
		if w.fits(well, l, r) {
			l.Well = well
		}
	}
	if used || len(w.a.job.Layers) < len(w.a.recipe.Layers) { // Layers has problems of its own
		return
	}
	fix := problem.Advise("leave the row out, or write the name as the column ink of " + schema.Layers + " has it")
	if near, ok := problem.Nearest(well.Ink, inks); ok {
		fix = problem.DidYouMean(near)
	}
	text := fmt.Sprintf("no layer is painted in %s, so its well is not used", well.Ink)
	if len(w.a.recipe.Trials) > 0 {
		text, fix = "a swatch sheet uses no wells: its brushes are loaded by hand", problem.Advise("leave the section out")
	}
	w.a.problems.Warnf(problem.UnusedWell, well.Place, fix, "%s", text)
}

// fits reports whether the brush of a layer can be loaded in a well: what is wrong
// is reported once, for the first layer.
func (w wellReader) fits(well *model.Well, l *model.Layer, r *binding.Record) bool {
	m := &w.a.job.Machine
	bed := placeOnBed(&w.a.job.Sheet)
	reached := func(word string, at, tip, towards, reach float64) bool {
		along := float64((at - tip) * towards)
		if reach == 0 || along >= 0 && along <= reach {
			return true
		}
		axis := strings.ToUpper(word[len(word)-1:])
		w.a.problems.Errorf(problem.OutOfReach, r.Cells[word].Source.Place, problem.Advise("move it to a place that the machine reaches"),
			"the machine reaches from %s0 to %s%s; for the brush of the layer %q the well of %s needs %s%s", axis, axis, minus(reach*towards), l.Name, well.Ink, axis, minus(at-tip))
		return false
	}
	b := l.Brush
	ok := reached("x", well.X, b.TipX, bed.x, m.ReachX) && reached("y", well.Y, b.TipY, bed.y, m.ReachY)
	if p := well.Wipe; ok && p != nil {
		ok = reached("wipe x", p.X, b.TipX, bed.x, m.ReachX) && reached("wipe y", p.Y, b.TipY, bed.y, m.ReachY)
	}
	s := well.Scrap
	if !ok || s == nil {
		return ok
	}
	ok = reached("scrap x", s.MinX, b.TipX, bed.x, m.ReachX) && reached("scrap x", s.MaxX, b.TipX, bed.x, m.ReachX) &&
		reached("scrap y", s.MinY, b.TipY, bed.y, m.ReachY) && reached("scrap y", s.MaxY, b.TipY, bed.y, m.ReachY)
	if mark, fits := well.RunIn(b); ok && !fits {
		w.a.problems.Errorf(problem.OutOfRange, r.Cells["scrap width"].Source.Place, problem.Advise("use a larger strip, or none"),
			"the scrap strip of %s has no room for a running-in mark of the layer %q, %s wide and three times as long", well.Ink, l.Name, shortMM(math.Round(float64(mark.Width*100))/100))
		return false
	}
	return ok
}

// box is the sheet, less a margin, in the machine's coordinates.
func (b onBed) box(margin float64) model.BedBox {
	x, y := float64(b.x*b.width), float64(b.y*b.height)
	return model.BedBox{MinX: min(0, x) + margin, MinY: min(0, y) + margin, MaxX: max(0, x) - margin, MaxY: max(0, y) - margin}
}

// minus is a coordinate in mm as text.
func minus(v float64) string { return strings.TrimSuffix(shortMM(v), " mm") }
