package intake

import (
	"fmt"
	"slices"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/register"
	"mahlstick/runner/vector"
)

// mostScales bounds the scales that are tried where a drawn size and a register
// mark disagree.
const mostScales = 6

// sizing is how a stated size puts a drawing on the sheet.
type sizing struct {
	mm   float64   // mm in one unit of the drawing
	zero vector.XY // place of the drawing's zero on the sheet in mm, where no mark decides
}

// placeBySize reads a drawing at the size that its layer states, and lays it on
// the sheet. Where the recipe has marks they decide: if the marks do not have
// their size at the stated one, the drawing gets the size at which they do, with
// a warning.
func (p *placing) placeBySize(file *reading, options drawing.Options, job *model.Job) {
	size, found := file.between()
	if p.Model.DrawnSize.By != model.ToMargins {
		size, found = sizeOf(file, options, p.Model)
	}
	if found.HasErrors() {
		p.problems = found
		return
	}
	stated := size.mm
	first := p.attempt(file, options, job, size)
	if first.placed() || len(job.Marks) == 0 || !first.markless() {
		*p = first
		return
	}
	for _, mm := range scalesOfMarks(file, options, job.Marks, stated) {
		size.mm = mm
		next := p.attempt(file, options, job, size)
		if next.placed() {
			next.problems = append(next.problems, markRules(p.Model, next.Placement, mm/stated))
			*p = next
			return
		}
	}
	*p = first
}

// attempt places the drawing with a size.
func (p *placing) attempt(file *reading, options drawing.Options, job *model.Job, size sizing) placing {
	out := *p
	options.Unit = model.Unit{Name: drawing.Short(size.mm) + " mm", MM: size.mm, Override: true, Place: p.Model.DrawnSize.Place}
	out.placeAt(file, options, job, size.zero)
	if out.Drawing != nil {
		out.Drawing.UnitFrom = "the drawn size: " + p.Model.DrawnSize.Text
	}
	return out
}

func (p *placing) placed() bool { return p.Contours != nil }

// markless reports whether the marks were not found, or are not right.
func (p *placing) markless() bool {
	return slices.ContainsFunc([]problem.Code{problem.NoMark, problem.MarkUnit, problem.MarkOutOfTrue, problem.MarksDisagree}, func(c problem.Code) bool {
		return hasCode(p.problems, c)
	})
}

// sizeOf measures a drawing and works out the size on the sheet that a layer
// states.
func sizeOf(file *reading, options drawing.Options, m *model.Layer) (sizing, problem.List) {
	options.Measure, options.Anywhere, options.Layer, options.KeepLayers = true, true, "", nil
	if m.DrawnSize.By == model.Factor {
		d, found := file.again(options)
		return sizing{mm: float64(d.UnitMM * m.DrawnSize.Value)}, found
	}
	options.Unit = model.Unit{Name: "mm", MM: 1, Override: true}
	d, found := file.again(options)
	if found.HasErrors() {
		return sizing{}, found
	}
	box := extentOf(d)
	wide, high := box.Max.X-box.Min.X, box.Max.Y-box.Min.Y
	out := sizing{}
	switch m.DrawnSize.By {
	case model.Wide:
		out.mm = m.DrawnSize.Value / wide
	case model.High:
		out.mm = m.DrawnSize.Value / high
	}
	found = append(found, checkSize(out, box, m)...)
	out.zero = vector.XY{X: -float64(box.Min.X * out.mm), Y: -float64(box.Min.Y * out.mm)}
	return out, found
}

// checkSize refuses a size that comes to nothing or to no bounds.
func checkSize(size sizing, box vector.Box, m *model.Layer) (found problem.List) {
	if !(size.mm > 0 && size.mm <= 1e9) {
		found.Errorf(problem.NothingToPaint, m.DrawnSize.Place, problem.Advise("state the side along which it reaches, or leave the drawn size out"),
			"%s is %s x %s of its units large: it cannot be drawn %s", m.Drawing, drawing.Short(max(box.Max.X-box.Min.X, 0)), drawing.Short(max(box.Max.Y-box.Min.Y, 0)), m.DrawnSize.Text)
	}
	return found
}

// extentOf is the page of a drawing or, where it has none, the box around all
// that is drawn, widths included.
func extentOf(d *drawing.Drawing) vector.Box {
	if d.PageWidth > 0 && d.PageHeight > 0 {
		return vector.Box{Max: vector.XY{X: d.PageWidth, Y: d.PageHeight}}
	}
	box := vector.Empty()
	for _, c := range d.Contours {
		half := 0.0
		if c.Widths != nil {
			half = float64(slices.Max(c.Widths) / 2 * c.Look.Stretch.Most())
		}
		b := vector.Bounds(c.Points)
		b.Min, b.Max = b.Min.Minus(vector.XY{X: half, Y: half}), b.Max.Plus(vector.XY{X: half, Y: half})
		box = box.Union(b)
	}
	return box
}

// scalesOfMarks lists the scales, in mm a unit, at which a square of the drawing
// has the size of a mark, those nearest to a stated scale first.
func scalesOfMarks(file *reading, options drawing.Options, marks []model.Mark, stated float64) []float64 {
	options.Anywhere, options.Unit = true, model.Unit{Name: "mm", MM: stated, Override: true}
	d, _ := file.again(options)
	var out []float64
	for _, side := range register.Squares(d) {
		for _, m := range marks {
			out = append(out, float64(stated*(m.Size/side)))
		}
	}
	off := func(scale float64) float64 { return max(scale/stated, stated/scale) }
	slices.SortFunc(out, func(a, b float64) int {
		switch {
		case off(a) < off(b):
			return -1
		case off(a) > off(b):
			return 1
		}
		return 0
	})
	out = slices.CompactFunc(out, func(a, b float64) bool { return drawing.Short(a/b*1e3) == "1000" })
	return out[:min(len(out), mostScales)]
}

// markRules warns that a mark does not agree with the drawn size.
func markRules(m *model.Layer, placed register.Placement, ratio float64) problem.Problem {
	name := ""
	var at []problem.Related
	if len(placed.Marks) > 0 {
		name = " " + strings.TrimSpace(fmt.Sprintf("%q", placed.Marks[0].Name))
		at = []problem.Related{{Place: placed.Marks[0].Place, Note: "the mark as drawn"}}
	}
	return problem.Problem{Severity: problem.Warning, Code: problem.SizeByMark, Place: m.DrawnSize.Place, Related: at,
		Message: fmt.Sprintf("the drawn size %q and the register mark%s disagree; the mark decides, so the drawing is %s times as large as stated", m.DrawnSize.Text, name, drawing.Short(ratio)),
		Fix:     problem.Advise("leave the drawn size out, or correct the size of the mark")}
}
