package register

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

// missing reports fewer squares than marks, and lists what may have been meant
// as a mark.
func (f *finder) missing(marks, shared []int) problem.Problem {
	m := f.task.marks[marks[0]]
	if len(shared) == 0 {
		if p, ok := f.unitMistake(m); ok {
			return p
		}
	}
	p := problem.Problem{
		Code: problem.NoMark, Place: f.task.layer.DrawingPlace,
		Fix:     problem.Advise(fmt.Sprintf("draw a closed square of %s mm where the mark belongs, or correct its size in Registration", mm(m.Size))),
		Related: []problem.Related{{Place: m.Place, Note: "the mark as stated"}},
	}
	where := f.task.file()
	if m.DrawingLayer != "" {
		where += ", drawing layer " + quote(m.DrawingLayer) + ","
	}
	if len(shared) == 0 {
		p.Message = fmt.Sprintf("%s has no closed square of %s mm for the mark %s", where, mm(m.Size), quote(m.Name))
	} else {
		p.Message = fmt.Sprintf("%s has %d closed %s of %s mm, but the marks %s need %d",
			where, len(shared), plural(len(shared), "square", "squares"), mm(m.Size), f.names(marks), len(marks))
		for _, k := range shared[:min(len(shared), maxRelated)] {
			p.Related = append(p.Related, problem.Related{Place: f.task.placeOf(f.squares[k]), Note: "a mark, at " + f.task.xy(f.squares[k].at)})
		}
	}
	if layers := f.task.drawing.Layers; m.DrawingLayer != "" && !slices.ContainsFunc(layers, func(l string) bool { return strings.EqualFold(l, m.DrawingLayer) }) {
		p.Message += fmt.Sprintf("; there is no such drawing layer, only %s", strings.Join(layers, ", "))
		p.Fix = problem.Advise("name the drawing layer of the mark in Registration, or none")
		if near, ok := problem.Nearest(m.DrawingLayer, layers); ok {
			p.Fix = problem.Advise(fmt.Sprintf("write %s for the drawing layer in Registration", near))
		}
	}
	if unseen := f.unseen(m); len(unseen) > 0 {
		p.Related = append(p.Related, unseen...)
		p.Fix = p.Fix.Or("; a square with neither fill nor stroke is not seen")
	}
	p.Related = append(p.Related, f.nearMisses(m)...)
	if units := otherUnits(f.task, f.task.layer.DrawnSize.By == model.ByUnit); units != "" {
		p.Message += "; " + units
	}
	return p
}

// unseen lists shapes of an SVG without fill and stroke, of which one may be
// the mark.
func (f *finder) unseen(m model.Mark) []problem.Related {
	var out []problem.Related
	for _, c := range f.task.drawing.Skipped {
		if c.Why != drawing.NoPaint || m.DrawingLayer != "" && !strings.EqualFold(c.Layer, m.DrawingLayer) || len(out) == maxRelated {
			continue
		}
		note := "this " + c.What + " is " + c.Why
		if c.N > 1 {
			note = fmt.Sprintf("%d x %s %s, this the first", c.N, c.What, c.Why)
		}
		out = append(out, problem.Related{Place: c.First, Note: note})
	}
	return out
}

// miss is a contour that may have been meant as a mark; the smaller off, the
// likelier.
type miss struct {
	off     float64
	related problem.Related
}

// nearMisses lists the contours most likely meant as a mark.
func (f *finder) nearMisses(m model.Mark) []problem.Related {
	misses := append(f.otherSquares(m), f.nearlySquares(m)...)
	slices.SortStableFunc(misses, func(a, b miss) int { return cmp.Compare(a.off, b.off) })
	var out []problem.Related
	for _, m := range misses[:min(len(misses), maxRelated)] {
		out = append(out, m.related)
	}
	return out
}

// otherSquares are squares of another size or on another drawing layer.
func (f *finder) otherSquares(m model.Mark) []miss {
	var out []miss
	for _, s := range f.squares {
		ratio := max(s.size/m.Size, m.Size/s.size)
		if exact := math.Abs(s.size-m.Size) <= sizeWithin; exact && !f.task.onLayer(s, m) {
			note := fmt.Sprintf("the right size, but on drawing layer %q", f.task.drawing.Contours[s.contours[0]].Layer)
			out = append(out, miss{0, problem.Related{Place: f.task.placeOf(s), Note: note}})
		} else if !exact && ratio < 1.5 {
			note := fmt.Sprintf("a square of %s mm at %s", mm(s.size), f.task.xy(s.at))
			out = append(out, miss{ratio - 1, problem.Related{Place: f.task.placeOf(s), Note: note}})
		}
	}
	return out
}

// nearlySquares are contours of about the mark's size that are no squares, or
// open ones.
func (f *finder) nearlySquares(m model.Mark) []miss {
	var out []miss
	isSquare := map[int]bool{}
	for _, s := range f.squares {
		isSquare[s.contours[0]] = true
	}
	full := float64(m.Size * m.Size)
	for k, c := range f.task.drawing.Contours {
		if isSquare[k] || len(c.Points) < 4 {
			continue
		}
		centre, area, _ := centroid(c.Points)
		w, h := extent(c.Points)
		tooFar := max(math.Abs(w-m.Size), math.Abs(h-m.Size))
		if tooFar > m.Size/4 || area < 0.7*full || area > 1.4*full {
			continue
		}
		note := fmt.Sprintf("nearly: %s x %s mm at %s, but not square", mm(w), mm(h), f.task.xy(centre))
		if _, square := asSquare(c.Points); square && !c.Closed {
			note = fmt.Sprintf("nearly: a square of %s x %s mm at %s, but not closed", mm(w), mm(h), f.task.xy(centre))
		}
		out = append(out, miss{tooFar / m.Size, problem.Related{Place: c.Place, Note: note}})
	}
	return out
}

// unitMistake looks for a square that has the size of the mark in another unit.
// If there is one, the problem says which unit to write.
func (f *finder) unitMistake(m model.Mark) (problem.Problem, bool) {
	for _, s := range f.squares {
		guess, ok := f.task.drawing.SuggestUnit(s.size / m.Size)
		if !ok || !f.task.onLayer(s, m) {
			continue
		}
		p := problem.Problem{
			Code: problem.MarkUnit, Place: f.task.layer.DrawingPlace,
			Fix: problem.Advise("export the drawing again in its true size"),
			Message: fmt.Sprintf("the mark %s measures %s mm in %s where %s mm is stated, %s",
				quote(m.Name), mm(s.size), f.task.file(), mm(m.Size), guess.Factor),
			Related: []problem.Related{
				{Place: f.task.placeOf(s), Note: "this square"},
				{Place: m.Place, Note: "the mark as stated"},
			},
		}
		if guess.Unit != "" {
			p.Message += fmt.Sprintf("; the drawing's numbers are likely %s, not %s", guess.Unit, f.task.drawing.UnitName)
			p.Fix = problem.Advise("in the column unit of this layer, write: " + guess.Write)
			if f.task.layer.Unit.Place.Known() {
				p.Place, p.Fix = f.task.layer.Unit.Place, problem.Write(guess.Write)
			}
		}
		return p, true
	}
	return problem.Problem{}, false
}

// otherUnits says how large the drawing is, if it is larger than the sheet or far
// smaller, and in which other units it would fit on it, if that may be guessed; else
// "".
func otherUnits(t *task, guess bool) string {
	var all []vector.XY
	for _, c := range t.drawing.Contours {
		all = append(all, c.Points...)
	}
	w, h := extent(all)
	fills := max(w/t.sheet.Width, h/t.sheet.Height)
	if fills > 0.1 && fills <= 1 {
		return ""
	}
	var units []string
	if guess {
		for _, s := range t.drawing.SuggestFit(w, h, t.sheet.Width, t.sheet.Height) {
			units = append(units, fmt.Sprintf("%s if its numbers are %s", s.Factor, s.Unit))
		}
	}
	size := fmt.Sprintf("the whole drawing is %s x %s mm for a sheet of %s x %s mm", mm(w), mm(h), mm(t.sheet.Width), mm(t.sheet.Height))
	switch {
	case len(units) > 0:
		return size + ": " + strings.Join(units, ", or ")
	case !guess && fills > 1:
		return size
	}
	return ""
}
