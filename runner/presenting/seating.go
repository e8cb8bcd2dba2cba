package presenting

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/seating"
	"mahlstick/runner/budget"
	"mahlstick/runner/logbook"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/proof"
	"mahlstick/runner/stage"
	"mahlstick/runner/vector"
)

// MarksProgram is a program that carries the tip of a layer's brush over register
// marks.
type MarksProgram struct {
	Layer *model.Layer
	Tour  motion.Tour
	Program
}

// Seated says in a sentence how the sheet lies; "" if it is at its stops.
func Seated(s *model.Seating) string {
	if s == nil {
		return ""
	}
	return "The sheet lies as its marks were read before " + Since(s) + ": " + Lying(s) + ". Do not set X and Y anew."
}

// Since says what is painted first on the sheet as it lies.
func Since(s *model.Seating) string {
	if s.From > 0 {
		return "stroke " + strconv.Itoa(s.From) + " of layer " + s.Layer
	}
	return "layer " + s.Layer
}

// Seatings are how the sheet lies in a layer, one after the other; none at its stops.
func Seatings(l *model.Layer) []*model.Seating {
	var out []*model.Seating
	if l.Seating != nil {
		out = append(out, l.Seating)
	}
	return append(out, l.Moves...)
}

// Lying says how a sheet lies, in a few words.
func Lying(s *model.Seating) string {
	f := s.Fit
	text := "turned " + format.Plain.Fixed(math.Abs(f.Turn)*180/math.Pi, 3) + " deg " + turnWord(f.Turn)
	if f.GrowthX != 1 || f.GrowthY != 1 {
		text += ", " + format.Plain.Fixed(100*(f.GrowthX-1), 2) + " percent longer along X and " + format.Plain.Fixed(100*(f.GrowthY-1), 2) + " along Y"
	}
	return text
}

// seatingViews are the seatings of a job, in the order of painting.
func seatingViews(j Job) []logbook.Seating {
	var out []logbook.Seating
	var last *model.Seating
	for i, l := range j.Layers {
		for _, s := range Seatings(l.Model) {
			if s != last {
				out = append(out, seatingView(j, s, i))
				last = s
			}
			v := &out[len(out)-1]
			v.Layers = append(v.Layers, l.Model.Name+strokesOn(l.Model, s))
		}
	}
	return out
}

// strokesOn says which strokes of a layer are painted on the sheet as it lies by a
// seating; "" if it is all of them.
func strokesOn(l *model.Layer, s *model.Seating) string {
	next := slices.Index(l.Moves, s) + 1
	switch {
	case next == len(l.Moves) && next == 0:
		return ""
	case next == len(l.Moves):
		return " (from stroke " + strconv.Itoa(s.From) + " on)"
	}
	from, to := max(1, s.From), l.Moves[next].From-1
	if from == to {
		return " (stroke " + strconv.Itoa(from) + ")"
	}
	return " (strokes " + strconv.Itoa(from) + " to " + strconv.Itoa(to) + ")"
}

func seatingView(j Job, s *model.Seating, first int) logbook.Seating {
	sheet := &j.Sheet
	v := logbook.Seating{Since: Since(s), Text: seatingText(sheet, s), Misfit: sheet.Misfit}
	for _, e := range s.Fit.Errors {
		m := logbook.SeatedMark{Name: e.Mark, Readings: e.Readings}
		for _, r := range s.Readings {
			if r.Mark == e.Mark {
				m.X, m.Y = r.SheetX, r.SheetY
			}
		}
		m.DX, m.DY = e.DX, e.DY
		for range (4 - sheet.Turned) % 4 {
			m.DX, m.DY = -m.DY, m.DX
		}
		v.Marks = append(v.Marks, m)
	}
	doubt := func(where string, x, y float64) logbook.Doubt {
		bedX, bedY := sheet.OnBed(x, y)
		return logbook.Doubt{Where: where, X: x, Y: y, U: s.Fit.Doubt(bedX, bedY)}
	}
	for _, c := range []model.Corner{model.LowerLeft, model.LowerRight, model.UpperRight, model.UpperLeft} {
		x, y := 0.0, 0.0
		if c == model.LowerRight || c == model.UpperRight {
			x = sheet.Width
		}
		if c == model.UpperLeft || c == model.UpperRight {
			y = sheet.Height
		}
		v.Places = append(v.Places, doubt(c.String()+" corner", x, y))
	}
	worst := logbook.Doubt{U: -1}
	for _, l := range j.Layers[first:] {
		if !slices.Contains(Seatings(l.Model), s) {
			break
		}
		b := painted(l)
		for _, at := range [...][2]float64{{b.MinX, b.MinY}, {b.MaxX, b.MinY}, {b.MinX, b.MaxY}, {b.MaxX, b.MaxY}} {
			if d := doubt("worst place of the picture", at[0], at[1]); d.U > worst.U {
				worst = d
			}
		}
	}
	v.Places = append(v.Places, worst)
	return v
}

// seatingText says how a sheet lies: what moved, how far it is turned, how much it
// has grown, each with its doubt.
func seatingText(sheet *model.Sheet, s *model.Seating) string {
	f := s.Fit
	page := format.Page
	x, y := f.At(f.CentreX, f.CentreY)
	moved := moveWords(x-f.CentreX, y-f.CentreY)
	if moved == "" {
		moved = "not at all"
	}
	text := "The middle of its marks has moved " + moved
	if s.Lost {
		text += " by the machine's new zero, and reach and resting place with it"
	}
	text += ". The sheet is turned " + page.Fixed(math.Abs(f.Turn)*180/math.Pi, 3) + "° " + turnWord(f.Turn) + " (± " + page.Fixed(f.TurnDoubt()*180/math.Pi, 3) + "°"
	if f.TurnAssumed {
		return text + ", assumed: one mark tells nothing of a turn)."
	}
	text += ")."
	gx, gy := f.GrowthX, f.GrowthY
	ux, uy := f.GrowthDoubts()
	if sheet.Turned%2 == 1 {
		gx, gy, ux, uy = gy, gx, uy, ux
	}
	percent := func(g, u float64) string { return page.Signed(100*(g-1), 2) + " % (± " + page.Fixed(100*u, 2) + " %)" }
	switch f.Growth {
	case seating.Even:
		text += " It has grown by " + percent(gx, ux) + "."
	case seating.Grain:
		sides := [2]string{"along x", "along y"}
		if sheet.Grain != "" {
			sides = [2]string{"across the grain", "along the grain"}
			if (sheet.Height >= sheet.Width) != (sheet.Grain == "long") {
				sides[0], sides[1] = sides[1], sides[0]
			}
		}
		text += " It has grown by " + percent(gx, ux) + " " + sides[0] + " and " + percent(gy, uy) + " " + sides[1] + "."
	}
	if f.Scatter > 1 && f.Free > 0 {
		text += " The readings lie " + page.Fixed(f.Scatter, 1) + " times as far apart as their ± allows; all doubts are raised by that."
	}
	return text
}

// painted is what the picture of a layer covers, for the register budget.
func painted(l stage.Proven) *budget.Layer {
	b := &budget.Layer{Layer: l.Model}
	first := true
	for i, marks := range l.Marks {
		if i < l.Figures.BeforePicture() {
			continue
		}
		for _, m := range marks {
			if first {
				b.MinX, b.MinY, b.MaxX, b.MaxY = m.X, m.Y, m.X, m.Y
				first = false
			}
			b.MinX, b.MinY, b.MaxX, b.MaxY = math.Min(b.MinX, m.X), math.Min(b.MinY, m.Y), math.Max(b.MaxX, m.X), math.Max(b.MaxY, m.Y)
		}
	}
	b.Press = max(0, -l.Measures.Lowest)
	return b
}

// mostRegisters is how many pairs of layers a page lists.
const mostRegisters = 30

// registerViews are the pairs of layers, the worst first, and for each layer the
// sentence on its card.
func registerViews(j Job) (out []logbook.Register, cards []string) {
	if len(j.Trials) > 0 || len(j.Layers) < 2 {
		return nil, nil
	}
	var layers []*budget.Layer
	for _, l := range j.Layers {
		layers = append(layers, painted(l))
	}
	cards = make([]string, len(layers))
	for k, b := range layers {
		worst := -1.0
		for _, a := range layers[:k] {
			r := budget.Between(j.Job, a, b)
			v := logbook.Register{A: r.A, B: r.B, Promised: r.Promised(), X: r.X, Y: r.Y}
			assumed := false
			for _, p := range r.Parts {
				v.Parts = append(v.Parts, logbook.RegisterPart(p))
				assumed = assumed || p.Assumed
			}
			out = append(out, v)
			if v.Promised > worst {
				worst = v.Promised
				cards[k] = "Expect it within " + format.Page.Fixed(v.Promised, 2) + " mm of “" + r.A + "” at the worst place, in 95 of 100 cases"
				if assumed {
					cards[k] += "; part of this is assumed"
				}
				cards[k] += "."
			}
		}
	}
	slices.SortStableFunc(out, func(a, b logbook.Register) int {
		switch {
		case a.Promised > b.Promised:
			return -1
		case a.Promised < b.Promised:
			return 1
		}
		return 0
	})
	return out[:min(len(out), mostRegisters)], cards
}

// addMarking gives each layer the program that carries its tip over the marks.
func addMarking(p *logbook.Page, j Job) {
	for _, m := range j.Tours {
		for i := range p.Layers {
			if p.Layers[i].Name != m.Layer.Name {
				continue
			}
			v := &logbook.Marking{Program: m.view(), Rows: SeatingRows(m)}
			for _, stop := range m.Tour.Stops {
				v.Marks = append(v.Marks, logbook.ExpectedMark{Name: stop.Mark, X: plane.MM(stop.At.X), Y: plane.MM(stop.At.Y)})
			}
			p.Layers[i].Marking = v
		}
	}
}

// SeatingRows are the rows of Seating that the readings of a layer go into; their
// cells are empty.
func SeatingRows(m MarksProgram) string {
	var b strings.Builder
	b.WriteString("| layer | mark | x | y | zero |\n|---|---|---|---|---|\n")
	layer, zero := m.Layer.Name, "kept"
	for _, stop := range m.Tour.Stops {
		fmt.Fprintf(&b, "| %s | %s |  mm |  mm | %s |\n", layer, stop.Mark, zero)
		layer, zero = "", ""
	}
	return b.String()
}

// lies is where the sheet was found last, from the zero of the first layer.
func lies(j Job) *logbook.Lies {
	s := j.Layers[len(j.Layers)-1].Model.Lies()
	if s == nil {
		return nil
	}
	m := s.Fit.Map
	return &logbook.Lies{XX: m.XX, XY: m.XY, YX: m.YX, YY: m.YY, X: m.X - s.ZeroX, Y: m.Y - s.ZeroY}
}

// walkPath is the way of the margin walk, read back from its text.
func walkPath(j Job) []vector.XY {
	var zero vector.XY
	if s := j.Layers[len(j.Layers)-1].Model.Lies(); s != nil {
		zero = vector.XY{X: s.ZeroX, Y: s.ZeroY}
	}
	path, _ := proof.Read(j.Walk.File, j.Walk.Text)
	var out []vector.XY
	for _, m := range path.Moves {
		if m.Kind == proof.Feed {
			out = append(out, vector.XY{X: m.To.X - zero.X, Y: m.To.Y - zero.Y})
		}
	}
	return out
}
