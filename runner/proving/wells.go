package proving

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/proof"
)

// stations are where the brush of a layer may be lowered beside the sheet, in the
// coordinates of its program: what the recipe states of its well, and nothing that
// the planner made of it.
func stations(l *model.Layer, s *seat) []proof.Station {
	w, b := l.Well, l.Brush
	if w == nil {
		return nil
	}
	moveX, moveY := -b.TipX, -b.TipY
	if s != nil {
		moveX, moveY = moveX+s.zeroX, moveY+s.zeroY
	}
	box := func(minX, minY, maxX, maxY float64) proof.Rect {
		return proof.Rect{MinX: minX + moveX - gridSlack, MinY: minY + moveY - gridSlack, MaxX: maxX + moveX + gridSlack, MaxY: maxY + moveY + gridSlack}
	}
	half := w.Opening / 2
	out := []proof.Station{{What: "well", Rect: box(w.X-half, w.Y-half, w.X+half, w.Y+half), Lowest: -w.Depth, Seconds: w.Seconds}}
	if p := w.Wipe; p != nil {
		out = append(out, proof.Station{What: "wipe", Rect: box(min(w.X, p.X), min(w.Y, p.Y), max(w.X, p.X), max(w.Y, p.Y)), Lowest: w.Rim - b.DeepestPress()/2})
	}
	if p := w.Scrap; p != nil {
		out = append(out, proof.Station{What: "scrap", Rect: box(p.MinX, p.MinY, p.MaxX, p.MaxY), Lowest: -b.DeepestPress()})
	}
	return out
}
