package presenting

import (
	"cmp"
	"fmt"
	"slices"

	"mahlstick/runner/logbook"
	"mahlstick/runner/stroke"
)

// meanings explain the reasons to a painter.
var meanings = map[stroke.Reason]string{
	stroke.HeldBack:    "Wider than the brush paints at its deepest press, the safe press less the reserve: one stroke at that press, so that the edges stay bare. Draw it narrower, or give the layer a broader brush.",
	stroke.TooThin:     "Narrower than the lightest mark of the brush. Draw it wider, or say under hairlines whether it is painted with the lightest touch or left.",
	stroke.TooSmall:    "Smaller than the tolerance of the job: nothing of it would be seen.",
	stroke.Unpromised:  "Painted, but thinner than can be promised: with this touch-off and this bed the brush may miss the paper here.",
	stroke.Slowed:      "Painted, with the feed lowered so that Z keeps up as the stroke widens.",
	stroke.Lengthened:  "Painted, with a longer entry or exit than drawn, so that Z keeps up. The recipe allows it.",
	stroke.TooSteep:    "Painted, but narrower than drawn: the mark widens there within less way than the brush's steepest press allows, or the stroke begins there at full press. Concealed entries give it that way where there is room.",
	stroke.Unconcealed: "Painted as drawn: there is no room inside the stroke's own mark to conceal this entry or exit.",
	stroke.Rounded:     "Small corners that are left round, as the recipe says. Write joined in the column corners to paint them.",
}

// maxPlaces is how many places of a reason the page lists.
const maxPlaces = 12

// remarkGroups groups remarks by reason, the largest places first.
func remarkGroups(remarks []stroke.Remark) []logbook.RemarkGroup {
	byReason := map[stroke.Reason][]stroke.Remark{}
	for _, r := range remarks {
		byReason[r.Reason] = append(byReason[r.Reason], r)
	}
	var out []logbook.RemarkGroup
	for _, reason := range stroke.Reasons() {
		list := byReason[reason]
		if len(list) == 0 {
			continue
		}
		g := logbook.RemarkGroup{Reason: reason.String(), Meaning: meanings[reason], N: len(list)}
		for _, r := range list {
			g.Area += r.Area
			g.Length += r.Length
		}
		g.Refused = g.Area > 0 || reason == stroke.TooSmall
		slices.SortStableFunc(list, func(a, b stroke.Remark) int {
			return cmp.Or(cmp.Compare(b.Area, a.Area), cmp.Compare(b.Length, a.Length), cmp.Compare(a.Shape, b.Shape))
		})
		for _, r := range list[:min(len(list), maxPlaces)] {
			g.Places = append(g.Places, placeView(r))
			g.Fed = g.Fed || r.Feed > 0
		}
		out = append(out, g)
	}
	return out
}

func placeView(r stroke.Remark) logbook.Place {
	x, y := r.At.MM()
	v := logbook.Place{X: x, Y: y, Width: r.Width, Area: r.Area, Length: r.Length}
	if r.Place.Known() {
		v.From = fmt.Sprintf("%s:%d", r.Place.Name(), r.Place.Line())
	}
	if r.Feed > 0 {
		v.Feed = fmt.Sprintf("%.0f", r.Feed)
	}
	return v
}
