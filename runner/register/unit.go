package register

import (
	"fmt"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
)

// unitMistake looks whether the size of some square tells that it is mark i in
// a drawing read in the wrong unit, and if so says what to write.
func (r *registration) unitMistake(i int) bool {
	m := r.marks[i]
	for k, s := range r.squares {
		guess, ok := r.d.SuggestUnit(s.size / m.Size)
		if !ok || !r.onLayer(s, i) {
			continue
		}
		p := problem.Problem{
			Code: problem.MarkUnit, Place: r.layer.DrawingPlace,
			Fix: problem.Advise("export the drawing again in its true size"),
			Message: fmt.Sprintf("the mark %s measures %s mm in %s where %s mm is stated, %s",
				quote(m.Name), mm(s.size), r.name(), mm(m.Size), guess.Factor),
			Related: []problem.Related{
				{Place: r.contourPlace(k), Note: "this square"},
				{Place: m.Place, Note: "the mark as stated"},
			},
		}
		if guess.Unit != "" {
			p.Message += fmt.Sprintf("; the drawing's numbers are likely %s, not %s", guess.Unit, r.d.UnitName)
			p.Fix = problem.Advise("in the column unit of this layer, write: " + guess.Write)
			if r.layer.Unit.Place.Known() {
				p.Place, p.Fix = r.layer.Unit.Place, problem.Write(guess.Write)
			}
		}
		r.problems.Add(p)
		return true
	}
	return false
}

// sizeGuess compares the drawing as a whole with the sheet and names the units
// in which one that is larger than the sheet, or lost on it, would fit.
func (r *registration) sizeGuess() string {
	var all []drawing.XY
	for _, c := range r.d.Contours {
		all = append(all, c.Points...)
	}
	w, h := extent(all)
	if fills := max(w/r.sheet.Width, h/r.sheet.Height); fills > 0.1 && fills <= 1 {
		return ""
	}
	var units []string
	for _, s := range r.d.SuggestFit(w, h, r.sheet.Width, r.sheet.Height) {
		units = append(units, fmt.Sprintf("%s if its numbers are %s", s.Factor, s.Unit))
	}
	if len(units) == 0 {
		return ""
	}
	return fmt.Sprintf("the whole drawing is %s x %s mm for a sheet of %s x %s mm: %s",
		mm(w), mm(h), mm(r.sheet.Width), mm(r.sheet.Height), strings.Join(units, ", or "))
}
