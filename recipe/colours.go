package recipe

import (
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/colour"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
)

// drawingColours reads the colours of the drawing that a layer takes: "#d9b263",
// "tan, #fff", "none", "all".
func drawingColours(l *layerReader, c *binding.Cell) bool {
	colours := model.Colours{Stated: true, Place: c.Source.Place}
	text, at, ok := c.Source.String, 0, true
	for part := range strings.SplitSeq(text, ",") {
		start := at + len(part) - len(strings.TrimLeft(part, " `"))
		word := strings.Trim(part, " `")
		at += len(part) + 1
		switch rgb, known := colour.Parse(word); {
		case strings.EqualFold(word, "none"):
			colours.None = true
		case strings.EqualFold(word, "all"):
			colours.All = true
		case known:
			if !slices.Contains(colours.List, rgb) {
				colours.List = append(colours.List, rgb)
			}
		default:
			fix := problem.Advise("write # and six digits from 0 to 9 and a to f, the name of a colour, none, or all")
			if hex := "#" + word; !strings.HasPrefix(word, "#") && len(word) == 6 {
				if _, isHex := colour.Parse(hex); isHex {
					fix = problem.Write(hex)
				}
			} else if !strings.HasPrefix(word, "#") {
				fix = problem.Correction(word, append(colour.Names(), "none", "all")).Else(fix)
			}
			l.a.problems.Errorf(problem.UnknownColour, c.Source.Place.Sub(start, start+len(word)), fix, "%q is not a colour of a drawing", word)
			ok = false
		}
	}
	if colours.All && (colours.None || len(colours.List) > 0) {
		l.a.problems.Errorf(problem.UnknownColour, c.Source.Place, problem.Advise("write all alone, or only the colours"), "all already includes every other colour")
		ok = false
	}
	l.layer.DrawingColours = colours
	return ok
}
