package register

import (
	"fmt"
	"math"

	"mahlstick/recipe/problem"
)

// If the side of a mark differs by more than this (mm) between two layers, they
// were drawn to different scales.
const layersWithin = 0.02

// CheckLayers compares the marks of the layers of a job: if a mark is smaller
// on one layer, the whole layer is. Without marks, layers from several drawings
// meet only if all of these use the sheet's coordinates; layers of one drawing
// always meet.
func CheckLayers(layers []Placement) problem.List {
	var problems problem.List
	for _, p := range layers {
		if len(p.Marks) > 0 || p.Drawing == layers[0].Drawing {
			continue
		}
		problems.Add(problem.Problem{
			Severity: problem.Warning, Code: problem.NoRegistration, Place: p.LayerPlace,
			Message: fmt.Sprintf("no register mark is stated, so %s and %s meet only if both are drawn in the sheet's coordinates", p.Drawing, layers[0].Drawing),
			Fix:     problem.Advise("add a section Registration with a mark, and draw the mark on every layer"),
			Related: []problem.Related{{Place: layers[0].LayerPlace, Note: "the first drawing"}},
		})
		break
	}
	for i, p := range layers {
		for k, m := range p.Marks {
			first := layers[0]
			if i == 0 || k >= len(first.Marks) {
				continue
			}
			if f := first.Marks[k]; math.Abs(m.Measured-f.Measured) > layersWithin {
				problems.Add(problem.Problem{
					Code: problem.MarkSizesDiffer, Place: m.Place,
					Message: fmt.Sprintf("the mark %s is %s mm on the layer %s, but %s mm on the layer %s: the two are drawn to different scales",
						quote(m.Name), mm(m.Measured), quote(p.Layer), mm(f.Measured), quote(first.Layer)),
					Fix:     problem.Advise("draw the mark of the same size on every layer; where a drawing was scaled, scale it back"),
					Related: []problem.Related{{Place: f.Place, Note: "the mark of the layer " + quote(first.Layer)}, {Place: p.LayerPlace, Note: "the layer " + quote(p.Layer)}},
				})
			}
		}
	}
	return problems
}
