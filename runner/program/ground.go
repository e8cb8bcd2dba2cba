package program

import (
	"mahlstick/runner/motion"
)

// ground says where to touch off and, if Z follows a surface, of which touched
// heights that was made, so that whoever reads the program can work out how high
// the brush is over the paper. Each line of it begins with "bed".
func ground(w *writer, g *motion.Ground) {
	if g == nil {
		return
	}
	xy := func(x, y int32) string { return "X" + w.number(x) + " Y" + w.number(y) }
	w.comment("touch off with the axes at " + xy(g.At.X, g.At.Y))
	if len(g.Touches) == 0 {
		return
	}
	kind := "flat"
	if g.Bent {
		kind = "bent"
	}
	mm := func(v int32) string { return string(appendDigits(nil, int64(v), 4)) }
	w.comment("bed " + kind + " from " + xy(g.Sheet.Min.X, g.Sheet.Min.Y) + " to " + xy(g.Sheet.Max.X, g.Sheet.Max.Y))
	w.comment("bed tip X" + mm(g.TipX) + " Y" + mm(g.TipY) + ", zero X" + mm(g.At.X+g.TipX) + " Y" + mm(g.At.Y+g.TipY))
	for _, t := range g.Touches {
		w.comment("bed touched X" + w.number(t.X) + " Y" + w.number(t.Y) + " height " + mm(t.Z))
	}
}
