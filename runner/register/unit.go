package register

import (
	"fmt"
	"math"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
)

// drawingUnits are the units in which drawings are usually made, in mm.
var drawingUnits = []struct {
	name string
	mm   float64
}{{"mm", 1}, {"cm", 10}, {"in", 25.4}, {"m", 1000}, {"ft", 304.8}, {"pt", 25.4 / 72}, {"px", 25.4 / 96}}

// unitMistake looks whether some square would be mark i if the drawing were in
// another unit, and if so says which. A ratio of sides near 10, 25.4, 2.54,
// 72/25.4, 96/25.4 or their inverses gives it away.
func (r *registration) unitMistake(i int) bool {
	m := r.marks[i]
	for k, s := range r.squares {
		if !r.onLayer(s, i) {
			continue
		}
		for _, u := range drawingUnits {
			if u.name == r.d.UnitName || math.Abs(float64(s.size/r.d.UnitMM)*u.mm-m.Size) > sizeWithin {
				continue
			}
			place, mend := r.unitMend(u.name)
			r.problems.Add(problem.Problem{
				Code: "mark-unit", Place: place, Mend: mend,
				Message: fmt.Sprintf("the mark %s measures %s mm in %s where %s mm is stated, %s; the drawing's numbers are likely %s, not %s",
					quote(m.Name), mm(s.size), r.name(), mm(m.Size), times(s.size/m.Size), u.name, r.d.UnitName),
				Related: []problem.Related{
					{Place: r.contourPlace(k), Note: "this square"},
					{Place: m.Place, Note: "the mark as stated"},
				},
			})
			return true
		}
	}
	return false
}

// unitMend is what to write in the layer's cell for the unit, and where.
func (r *registration) unitMend(unit string) (place source.Place, mend string) {
	text := unit
	if r.layer.Unit.Name == "" || r.layer.Unit.Override {
		text += ", not as the file says"
	}
	if r.layer.Unit.Place.Known() {
		return r.layer.Unit.Place, problem.MendWrite + text
	}
	return r.layer.DrawingPlace, fmt.Sprintf("in the column unit of this layer, write: %s", text)
}

// sizeGuess compares the drawing as a whole with the sheet. It names the units
// in which a drawing that is larger than the sheet, or lost on it, would fill
// at least a quarter of it.
func (r *registration) sizeGuess() string {
	var all []drawing.XY
	for _, c := range r.d.Contours {
		all = append(all, c.Points...)
	}
	if len(all) == 0 || r.d.UnitMM <= 0 {
		return ""
	}
	w, h := extent(all)
	fills := func(scale float64) float64 { return max(w*scale/r.sheet.Width, h*scale/r.sheet.Height) }
	if f := fills(1); f > 0.1 && f <= 1.05 {
		return ""
	}
	var units []string
	for _, u := range drawingUnits {
		scale := u.mm / r.d.UnitMM
		if f := fills(scale); u.name != r.d.UnitName && f >= 0.25 && f <= 1.05 {
			units = append(units, fmt.Sprintf("%s x %s mm if its numbers are %s", mm(w*scale), mm(h*scale), u.name))
		}
	}
	if len(units) == 0 {
		return ""
	}
	return fmt.Sprintf("the whole drawing is %s x %s mm for a sheet of %s x %s mm; it would be %s",
		mm(w), mm(h), mm(r.sheet.Width), mm(r.sheet.Height), strings.Join(units, ", or "))
}
