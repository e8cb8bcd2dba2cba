package intake

import (
	"fmt"
	"math"
	"strconv"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
)

// sameScale is the share by which two scales may differ and be one: 0.003 mm on
// 300 mm.
const sameScale = 1e-5

func alike(a, b float64) bool { return math.Abs(a-b) <= float64(sameScale*max(a, b)) }

// otherSizes warns of layers that draw a drawing at another size than most of its
// layers do. Where register marks place them, these decide.
func otherSizes(layers []placing) problem.List {
	var problems problem.List
	byFile := map[string][]*placing{}
	for i := range layers {
		if p := &layers[i]; p.Drawing != nil && p.Drawing.UnitMM > 0 && len(p.Placement.Marks) == 0 {
			byFile[p.Model.Drawing] = append(byFile[p.Model.Drawing], p)
		}
	}
	for i := range layers {
		p := &layers[i]
		group := byFile[p.Model.Drawing]
		delete(byFile, p.Model.Drawing) // reported once, in the order of the layers
		usual := mostAlike(group)
		for _, q := range group {
			if !alike(q.Drawing.UnitMM, usual.Drawing.UnitMM) {
				problems.Add(otherSize(q, usual))
			}
		}
	}
	return problems
}

// mostAlike is the first of the layers whose scale most layers have.
func mostAlike(group []*placing) *placing {
	var out *placing
	most := 0
	for _, p := range group {
		n := 0
		for _, q := range group {
			if alike(p.Drawing.UnitMM, q.Drawing.UnitMM) {
				n++
			}
		}
		if n > most {
			out, most = p, n
		}
	}
	return out
}

// otherSize is the warning of a layer whose drawing has another size than on the
// usual one.
func otherSize(p, usual *placing) problem.Problem {
	at, other := sizeWords(p.Model), sizeWords(usual.Model)
	is, was := scaleWords(p.Drawing.UnitMM, usual.Drawing.UnitMM)
	fix := "write the same in the column drawn size of both"
	if usual.Model.DrawnSize.By != model.ByUnit {
		fix = "write " + usual.Model.DrawnSize.Text + " in the column drawn size of both"
	}
	place := p.Model.DrawingPlace
	switch {
	case p.Model.DrawnSize.Place.Known():
		place = p.Model.DrawnSize.Place
	case p.Model.Unit.Place.Known():
		place = p.Model.Unit.Place
	}
	return problem.Problem{Severity: problem.Warning, Code: problem.OtherSize, Place: place,
		Message: fmt.Sprintf("on the layer %q %s is drawn %s, at %s mm a unit, and on the layer %q %s, at %s mm a unit: the two do not meet",
			p.Model.Name, p.Model.Drawing, at, is, usual.Model.Name, other, was),
		Fix:     problem.Advise(fix + "; ignore this if they are two pictures"),
		Related: []problem.Related{{Place: usual.Model.Place, Note: fmt.Sprintf("the layer %q", usual.Model.Name)}}}
}

// sizeWords says which size a layer states.
func sizeWords(m *model.Layer) string {
	switch m.DrawnSize.By {
	case model.ByUnit:
		return "without a drawn size"
	case model.Factor:
		return "at " + m.DrawnSize.Text
	}
	return m.DrawnSize.Text
}

// scaleWords writes two scales with as many digits as tell them apart.
func scaleWords(a, b float64) (is, was string) {
	for digits := 4; ; digits++ {
		is, was = strconv.FormatFloat(a, 'g', digits, 64), strconv.FormatFloat(b, 'g', digits, 64)
		if is != was || digits > 15 {
			return is, was
		}
	}
}
