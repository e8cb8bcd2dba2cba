package recipe

import (
	"fmt"
	"math"

	"golang.org/x/text/unicode/norm"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/format"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/seating"
	"mahlstick/recipe/source"
)

// readingDoubt (mm) is the standard uncertainty of a coordinate of a mark that was
// read by eye without a ±: a band of ± 0.1 mm over √3. Common practice, no source.
const readingDoubt = 0.06

// seater reads the seatings of a sheet.
type seater struct{ a *assembler }

// seatingKey is a layer by its index, and the stroke from which a seating holds.
type seatingKey struct{ layer, from int }

// seatings are those of a sheet, by where they hold from.
type seatings struct {
	found  map[seatingKey]*model.Seating
	broken map[seatingKey]bool
	moves  [][]seatingKey // within each layer
}

// read reads where the marks were found, and finds where the sheet lies for
// each layer. Layers and marks are there already.
func (t seater) read() {
	all := t.rows()
	var last *model.Seating
	next := func(at seatingKey) bool {
		s := all.found[at]
		if s == nil || all.broken[at] {
			return false
		}
		s.Before = last
		if !t.seat(s, &t.a.job.Layers[at.layer]) {
			return false
		}
		last = s
		return true
	}
	for i := range t.a.job.Layers {
		next(seatingKey{layer: i})
		t.a.job.Layers[i].Seating = last
		for _, at := range all.moves[i] {
			if next(at) {
				t.a.job.Layers[i].Moves = append(t.a.job.Layers[i].Moves, last)
			}
		}
	}
}

// rows reads the rows of Seating.
func (t seater) rows() seatings {
	all := seatings{map[seatingKey]*model.Seating{}, map[seatingKey]bool{}, make([][]seatingKey, len(t.a.job.Layers))}
	at, named := seatingKey{layer: -1}, false // those of the row above; whether a row has named a layer
	known, unread := map[string]bool{}, false // unread: from which stroke the rows hold is not known
	for _, r := range t.a.recipe.Seating {
		if c := r.Cells["layer"]; c != nil {
			layer := t.layerNamed(c, "to be painted on the sheet as it lies", "write the name of a layer of this recipe")
			if named = true; layer != at.layer {
				at, unread = seatingKey{layer: layer}, false
			}
		} else if !named {
			t.a.problems.Errorf(problem.MissingValue, r.Row.Place, problem.Advise("write the layer with whose brush the mark was read"), "the first row of Seating names no layer")
		}
		if c := r.Cells["from"]; c != nil {
			if unread = !c.Known; c.Known {
				at.from = c.Count
			}
		}
		t.a.facts.record(r, t.rowName(r, at, known))
		if r.Complete && at.layer >= 0 && !unread {
			t.row(r, at, all)
		}
	}
	return all
}

// rowName is the name of a row in the record, another for each row: a mark may be read
// several times, and again where the sheet was moved.
func (t seater) rowName(r *binding.Record, at seatingKey, known map[string]bool) string {
	name := cellText(r, "layer") + " " + cellText(r, "mark")
	if known[name] {
		name = cellText(r, "mark")
		if at.layer >= 0 {
			name = t.a.job.Layers[at.layer].Name + " " + name
		}
		if at.from > 0 {
			name += fmt.Sprintf(" from stroke %d", at.from)
		}
	}
	first := name
	for i := 2; known[name]; i++ {
		name = fmt.Sprintf("%s, reading %d", first, i)
	}
	known[name] = true
	return name
}

// row adds a row to the seating that it belongs to.
func (t seater) row(r *binding.Record, at seatingKey, all seatings) {
	s := all.found[at]
	if s == nil {
		s = &model.Seating{Layer: t.a.job.Layers[at.layer].Name, From: at.from, Place: r.Row.Place}
		all.found[at] = s
		if at.from > 0 {
			all.broken[at] = !t.movesOn(s, r, all.moves[at.layer])
			all.moves[at.layer] = append(all.moves[at.layer], at)
		}
	}
	t.zero(s, r)
	if !t.seatReading(s, r, at.layer) {
		all.broken[at] = true
	}
}

// movesOn reports whether the sheet can have moved at a stroke, after it moved at
// those before; the rows of a layer are in the order of painting.
func (t seater) movesOn(s *model.Seating, r *binding.Record, before []seatingKey) bool {
	place := r.Cells["from"].Source.Place
	s.FromPlace = place
	switch {
	case s.From == 1:
		t.a.problems.Errorf(problem.MovedStroke, place, problem.Advise("leave out 1: the rows of a layer without from hold for all of it"),
			"the layer %q has no stroke before stroke 1, so the sheet did not move within it", s.Layer)
		return false
	case len(before) > 0 && before[len(before)-1].from >= s.From:
		t.a.problems.Errorf(problem.MovedStroke, place, problem.Advise("write the rows in the order in which the sheet was moved, with rising strokes"),
			"the sheet is said to have moved at stroke %d of the layer %q before, and now at stroke %d", before[len(before)-1].from, s.Layer, s.From)
		return false
	}
	return true
}

func cellText(r *binding.Record, word string) string {
	if c := r.Cells[word]; c != nil {
		return c.Source.String
	}
	return ""
}

// layerNamed is the index of the layer of a name, -1 with a problem if the recipe
// has no such layer.
func (t seater) layerNamed(c *binding.Cell, purpose, otherwise string) int {
	var names []string
	for i, l := range t.a.job.Layers {
		if formula.Fold(l.Name) == formula.Fold(c.Source.String) {
			return i
		}
		names = append(names, l.Name)
	}
	if len(t.a.job.Layers) < len(t.a.recipe.Layers) { // Layers has problems of its own
		return -1
	}
	fix := problem.Advise(otherwise)
	if near, ok := problem.Nearest(c.Source.String, names); ok {
		fix = problem.DidYouMean(near)
	}
	t.a.problems.Errorf(problem.UnknownLayer, c.Source.Place, fix, "this recipe has no layer %q %s", c.Source.String, purpose)
	return -1
}

// zero reads whether the zero was lost, which all rows of a layer must agree on.
func (t seater) zero(s *model.Seating, r *binding.Record) {
	c := r.Cells["zero"]
	if c == nil {
		return
	}
	lost := c.Word == "lost"
	if lost != s.Lost && len(s.Readings) > 0 {
		t.a.problems.Errorf(problem.DefinedTwice, c.Source.Place, problem.Advise("write kept or lost once, in the first row of the layer"),
			"the rows of the layer %q do not agree whether the zero was lost", s.Layer)
	}
	s.Lost = lost
}

// seatReading adds one row to a seating; false if something is wrong with it.
func (t seater) seatReading(s *model.Seating, r *binding.Record, layer int) bool {
	mark := t.markNamed(r.Cells["mark"])
	x, ok1 := t.a.values.Quantity(r.Cells["x"])
	y, ok2 := t.a.values.Quantity(r.Cells["y"])
	if mark == nil || !ok1 || !ok2 {
		return false
	}
	for i := layer; i < len(t.a.job.Layers); i++ {
		if mark.Painted != t.a.job.Layers[i].Name || i == layer && s.From > 0 {
			continue
		}
		if i == layer {
			t.a.problems.Errorf(problem.MarkNotYetPainted, r.Cells["mark"].Source.Place, problem.Advise("name the next layer in the column layer, or write in a column from at which stroke the sheet was moved"),
				"the mark %q was read before the layer %q, which paints it itself", mark.Name, s.Layer)
			return false
		}
		t.a.problems.Errorf(problem.MarkNotYetPainted, r.Cells["mark"].Source.Place, problem.Advise("check the column layer, and the column painted of the mark"),
			"the mark %q was read before the layer %q, but the layer %q paints it, which comes later", mark.Name, s.Layer, mark.Painted)
		return false
	}
	b := t.a.job.Layers[layer].Brush
	reading := model.SeatReading{Mark: mark.Name, SheetX: mark.X, SheetY: mark.Y,
		AxisX: x.In(quantity.MM), AxisY: y.In(quantity.MM), U: readingDoubt, Place: r.Cells["mark"].Source.Place}
	reading.FoundX, reading.FoundY = reading.AxisX+b.TipX, reading.AxisY+b.TipY
	if ux, uy := x.U(quantity.MM), y.U(quantity.MM); ux > 0 || uy > 0 {
		reading.U = math.Sqrt((float64(ux*ux) + float64(uy*uy)) / 2)
	}
	s.Readings = append(s.Readings, reading)
	return true
}

// markNamed is the register mark of a name, nil with a problem if there is none.
func (t seater) markNamed(c *binding.Cell) *model.Mark {
	var names []string
	for i := range t.a.job.Marks {
		m := &t.a.job.Marks[i]
		if formula.Fold(m.Name) == formula.Fold(c.Source.String) {
			return m
		}
		names = append(names, m.Name)
	}
	if len(t.a.job.Marks) < len(t.a.recipe.RegisterMarks) { // Registration has problems of its own
		return nil
	}
	fix := problem.Advise("write the name of a mark in " + schema.Registration)
	if near, ok := problem.Nearest(c.Source.String, names); ok {
		fix = problem.DidYouMean(near)
	}
	t.a.problems.Errorf(problem.UnknownMark, c.Source.Place, fix, "this recipe has no register mark %q", norm.NFC.String(c.Source.String))
	return nil
}

// seat finds where the sheet lies for a layer; false if the readings do not say.
func (t seater) seat(s *model.Seating, l *model.Layer) bool {
	sheet := &t.a.job.Sheet
	readings := s.Points(sheet)
	if t.copied(s, l) || !t.judge(s, l, seating.Judge(readings, sheet.Growth, sheet.Misfit, l.Brush.TipX, l.Brush.TipY)) {
		return false
	}
	s.Fit = seating.New(readings, sheet.Growth)
	if s.Before != nil {
		s.ZeroX, s.ZeroY = s.Before.ZeroX, s.Before.ZeroY
	}
	if s.Lost {
		x, y := s.Fit.CentreX, s.Fit.CentreY
		if s.Before != nil {
			x, y = s.Before.Fit.At(x, y)
		}
		nowX, nowY := s.Fit.At(s.Fit.CentreX, s.Fit.CentreY)
		s.ZeroX, s.ZeroY = s.ZeroX+nowX-x, s.ZeroY+nowY-y
	}
	if s.Fit.TurnAssumed {
		mark := s.Readings[0]
		far := max(math.Abs(mark.SheetX), math.Abs(sheet.Width-mark.SheetX)) + max(math.Abs(mark.SheetY), math.Abs(sheet.Height-mark.SheetY))
		t.a.problems.Warnf(problem.OneMark, s.Place, problem.Advise("read a second mark, as far from the first as possible"),
			"one mark tells how far the sheet was shifted, but not how far it was turned; a turn of 0.1° moves the farthest corner by up to %s", quantity.New(math.Round(float64(far*0.1*math.Pi/180)*100)/100, quantity.MM).Short())
	}
	return true
}

// copied reports readings that are those of another layer, although the tips of
// the two brushes are not at the same place.
func (t seater) copied(s *model.Seating, l *model.Layer) bool {
	other := s.Before
	if other == nil || s.Lost || len(other.Readings) != len(s.Readings) {
		return false
	}
	for i, r := range s.Readings {
		o := other.Readings[i]
		if r.Mark != o.Mark || r.AxisX != o.AxisX || r.AxisY != o.AxisY {
			return false
		}
	}
	first := s.Readings[0]
	if dx, dy := first.FoundX-other.Readings[0].FoundX, first.FoundY-other.Readings[0].FoundY; math.Sqrt(float64(dx*dx)+float64(dy*dy)) < readingDoubt {
		return false
	}
	t.a.problems.Add(problem.Problem{Code: problem.CopiedReadings, Place: s.Place,
		Fix:     problem.Advise("read the marks again with the brush of this layer, or leave out its rows if the sheet has not moved"),
		Message: fmt.Sprintf("the readings of the layer %q are those of the layer %q, but the tip of its brush is at another place", l.Name, other.Layer),
		Related: []problem.Related{{Place: other.Place, Note: "the same readings"}}})
	return true
}

// judge reports what is wrong with the readings of a layer.
func (t seater) judge(s *model.Seating, l *model.Layer, v seating.Verdict) bool {
	growth := t.a.job.Sheet.Growth
	p := problem.Problem{Place: s.Place}
	mm := func(v float64) string { return format.Plain.Fixed(v, 2) + " mm" }
	for _, r := range s.Readings {
		if len(v.Marks) > 0 && r.Mark == v.Marks[len(v.Marks)-1] {
			p.Place = r.Place
		}
	}
	whose := fmt.Sprintf("the readings of the layer %q", l.Name)
	if s.From > 0 {
		whose += fmt.Sprintf(" from stroke %d", s.From)
	}
	switch v.Fault {
	case seating.Sound:
		return true
	case seating.Coinciding:
		p.Code, p.Fix = problem.CoincidingMarks, problem.Advise("leave one out, and read marks that are far apart")
		p.Message = fmt.Sprintf("the marks %q and %q are at the same place of the sheet", v.Marks[0], v.Marks[1])
	case seating.TooFew:
		p.Code, p.Fix = problem.TooFewMarks, problem.Advise(fmt.Sprintf("read %s or more, or write another growth in Sheet", format.Count(growth.Needs(), "mark")))
		p.Message = fmt.Sprintf("%s hold fewer marks than growth %q needs", whose, growth)
	case seating.InLine:
		p.Code, p.Fix = problem.MarksInLine, problem.Advise("read a mark away from that line, or write growth even in Sheet")
		p.Message = fmt.Sprintf("the marks of the layer %q lie in a line, which does not tell growth across it", l.Name)
	case seating.Misread:
		p.Code, p.Fix = problem.Misread, problem.Advise("correct the rows, or read the marks again")
		p.Message = whose + " do not fit the marks: probably " + v.What
	case seating.Unlikely:
		p.Code, p.Fix = problem.Misread, problem.Advise("check the names of the marks, the signs of X and Y, and the row turned of Sheet")
		p.Message = whose + " cannot be right: " + v.What
	case seating.Misfit:
		p.Code = problem.Misfit
		p.Message = fmt.Sprintf("%s miss the marks by up to %s, more than the misfit of %s; the worst is %q", whose, mm(v.Worst), mm(t.a.job.Sheet.Misfit), v.Marks[0])
		fix := fmt.Sprintf("read the mark %q again", v.Marks[0])
		if v.Without >= 0 {
			p.Message += ", without which the others fit within " + mm(max(v.Without, 0.01))
		}
		if v.Grown {
			fix = "write growth even in Sheet if the sheet may have grown, or read the marks again"
			p.Message += "; they fit if the sheet has grown"
		}
		p.Fix = problem.Advise(fix)
	}
	t.a.problems.Add(p)
	return false
}

// growthOf reads the row growth of the sheet.
func growthOf(d *binding.Definition) (growth seating.Growth, stated source.Place) {
	if c, _ := d.Find("growth"); c != nil {
		stated = c.Source.Place
	}
	return map[string]seating.Growth{"even": seating.Even, "grain": seating.Grain}[d.Word("growth")], stated
}
