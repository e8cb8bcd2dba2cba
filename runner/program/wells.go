package program

import (
	"math"
	"strconv"

	"mahlstick/recipe/format"
	"mahlstick/runner/motion"
)

// wells says before which strokes the brush is loaded in its well, and where it may
// be lowered beside the sheet. Each box has a line of its own, so that whoever reads
// the program knows which places are meant.
func wells(w *writer, h Head, p motion.Plan) {
	if len(p.Boxes) == 0 {
		return
	}
	var numbers []string
	for _, s := range p.Strokes {
		if s.Visit != nil {
			numbers = append(numbers, strconv.Itoa(s.Number))
		}
	}
	text := "loads the brush by itself in the well of " + h.Ink + " before stroke " + format.List(numbers)
	for _, b := range p.Boxes {
		switch b.What {
		case "wipe":
			text += ", draws it over the rim"
		case "scrap":
			text += ", runs each load in on the scrap strip"
		}
	}
	w.comment(text + ". Fill the well, and look at the first visit with a hand at the stop: a brush that meets the bottom or the rim is bent. Stop before the well is empty.")
	for _, b := range p.Boxes {
		line := b.What + " in X" + outwards(b.MinX, -1) + " to " + outwards(b.MaxX, 1) + ", Y" + outwards(b.MinY, -1) + " to " + outwards(b.MaxY, 1) + ", Z" + w.number(b.Lowest)
		if b.Seconds > 0 {
			line += " for " + fixed(b.Seconds, 2) + " s"
		}
		w.comment(line)
	}
}

// outwards is a coordinate in grid steps, a ten-thousandth of a mm, as text with two
// decimals, rounded down or up, by the sign.
func outwards(v int32, sign float64) string {
	return fixed(float64(sign*math.Ceil(float64(sign*float64(v))/100))/100, 2)
}

// visitWell loads the brush.
func visitWell(w *writer, h Head, v *motion.Visit) {
	w.comment("loads the brush in the well of " + h.Ink)
	liftTo(w, v.Moves[0].Z)
	w.forget()
	for i, m := range v.Moves {
		if v.RunIn > 0 && i == v.RunIn {
			w.comment("runs it in on the scrap strip")
		}
		w.move(m)
		if i == v.Dip {
			w.wait(v.Seconds)
		}
	}
	w.forget()
}
