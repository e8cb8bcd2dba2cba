package program

import (
	"strconv"

	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
)

// clamps says what stands in the way of brush and holder, so that whoever reads the
// program can see that it is cleared. Each clamp has a line with three of its corners,
// one after the other, and its top.
func clamps(w *writer, c *motion.Clamps) {
	if c == nil {
		return
	}
	mm := func(v int32) string { return fixed(plane.MM(v), 2) }
	box := func(what string, b plane.Box, rest string) {
		w.comment(what + " X" + mm(b.Min.X) + " to " + mm(b.Max.X) + ", Y" + mm(b.Min.Y) + " to " + mm(b.Max.Y) + rest)
	}
	w.comment("clears clamps by " + mm(c.Clear) + "; counted from the axis and the tip there are:")
	box("brush", c.Brush, "")
	box("holder", c.Holder, ", from Z"+mm(c.Under)+" up")
	for i, k := range c.Clamps {
		w.comment("clamp " + strconv.Itoa(i+1) + " is " + k.Name)
		text := "clamp"
		for _, q := range k.Corners[:3] {
			text += " X" + mm(q.X) + " Y" + mm(q.Y)
		}
		w.comment(text + " Z" + mm(k.Top))
	}
	if c.FromRest {
		w.comment("start it with the machine at its place to rest: a clamp is too high to be passed over from anywhere else.")
	}
}
