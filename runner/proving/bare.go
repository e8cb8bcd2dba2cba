package proving

import (
	"cmp"
	"fmt"
	"slices"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// mostBare is the share of a layer's area that may stay bare without a report.
const mostBare = 0.01

// maxPlaces is how many bare places a problem lists.
const maxPlaces = 5

// CheckBare reports the layers of which more than mostBare is not painted: as
// an error if the recipe refuses bare paper, and not at all if it allows it.
func CheckBare(layers []stage.Proven) problem.List {
	var problems problem.List
	for _, l := range layers {
		if l.Model.Bare != model.AllowBare && l.Refused > float64(mostBare*l.Plan.Drawn) {
			problems.Add(bareLayer(l))
		}
	}
	return problems
}

// bareLayer reports how much of a layer is not painted, and where most of it
// is.
func bareLayer(l stage.Proven) problem.Problem {
	bare := slices.DeleteFunc(slices.Clone(l.Remarks), func(r stroke.Remark) bool { return r.Area <= 0 })
	slices.SortStableFunc(bare, func(a, b stroke.Remark) int { return cmp.Compare(b.Area, a.Area) })
	p := problem.Problem{
		Severity: problem.Warning, Code: problem.BarePaper, Place: l.Model.DrawingPlace,
		Message: fmt.Sprintf("%s of what is drawn on the layer %q is not painted: %s of %s",
			format.Plain.Share(l.Refused/l.Plan.Drawn), l.Model.Name, format.Plain.Area(l.Refused), format.Plain.Area(l.Plan.Drawn)),
	}
	fix := "change the drawing or the brush"
	if len(bare) > 0 {
		reason := mainReason(bare)
		p.Message += fmt.Sprintf(", most of it %s; the largest place is at %s", reason, format.Plain.Place(bare[0].At.MM()))
		if better, ok := fixes[reason]; ok {
			fix = better
		}
	}
	if l.Model.Bare == model.RefuseBare {
		p.Severity, p.Place = problem.Error, l.Model.BarePlace
	} else {
		fix += "; if it is intended, write allow in the column bare of this layer"
	}
	p.Fix = problem.Advise(fix)
	for _, r := range bare[:min(len(bare), maxPlaces)] {
		p.Related = append(p.Related, problem.Related{Place: r.Place,
			Note: fmt.Sprintf("%s, %s at %s", r.Reason, format.Plain.Area(r.Area), format.Plain.Place(r.At.MM()))})
	}
	return p
}

// fixes say what to do about bare paper, by its reason.
var fixes = map[stroke.Reason]string{
	stroke.HeldBack:   "draw it narrower, give the layer a broader brush, or measure the height of the paper more exactly and state a smaller reserve for the brush",
	stroke.TooThin:    "draw it wider, or write paint in the column hairlines of this layer",
	stroke.TooSteep:   "write concealed in the column entries of this layer, or state a greater steepest press if the brush takes it",
	stroke.Lengthened: "write as drawn in the column entries of this layer",
	stroke.Rounded:    "write joined in the column corners of this layer, or a smaller size in round below",
}

// mainReason is the reason for which most of the area is bare.
func mainReason(bare []stroke.Remark) stroke.Reason {
	areas := map[stroke.Reason]float64{}
	for _, r := range bare {
		areas[r.Reason] += r.Area
	}
	return slices.MaxFunc(stroke.Reasons(), func(a, b stroke.Reason) int { return cmp.Compare(areas[a], areas[b]) })
}
