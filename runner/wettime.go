package runner

import (
	"fmt"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/touching"
)

// wetTimes warns of lines that cross themselves before they are dry: no order and no
// wait can keep their parts apart. Lines go at most at the feed of the layer.
func wetTimes(gestures []stroke.Gesture, layer *model.Layer) (problems problem.List) {
	if layer.Wet <= 0 || layer.Feed <= 0 {
		return nil
	}
	n, number, worst, shortest, at := 0, 0, 0, 0.0, plane.Point{}
	for _, g := range gestures {
		if len(g.Points) == 0 {
			continue
		}
		number++
		if g.Kind != stroke.Line {
			continue
		}
		way, where, again := touching.Again(g.Points)
		seconds := way / (layer.Feed / 60)
		if !again || seconds >= layer.Wet {
			continue
		}
		if n++; n == 1 || seconds < shortest {
			worst, shortest, at = number, seconds, where
		}
	}
	if n == 0 {
		return nil
	}
	others := ""
	if n > 1 {
		others = fmt.Sprintf(", as do %d more", n-1)
	}
	x, y := at.MM()
	problems.Warnf(problem.WetTime, layer.WetPlace, problem.Advise("draw it as lines that end where they meet, or state a shorter wet time"),
		"the wet time of %s cannot be met within a stroke: stroke %d of the layer %q comes back to itself after about %s, at %s on the sheet%s",
		format.Plain.Duration(layer.Wet), worst, layer.Name, format.Plain.Duration(shortest), format.Plain.Place(x, y), others)
	return problems
}
