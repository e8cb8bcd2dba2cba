package presenting

import (
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner/register"
)

func TestPlacedView(t *testing.T) {
	corner, far := register.Found{Name: "corner"}, register.Found{Name: "far"}
	for _, c := range []struct {
		p    register.Placement
		m    model.Layer
		want string
	}{
		{register.Placement{DX: 5}, model.Layer{}, "Placed as drawn."},
		{register.Placement{Cut: 1, CutAway: 2}, model.Layer{CutTo: model.AtPage}, "Placed as drawn. Cut at its page: 1 shape in part, 2 wholly."},
		{register.Placement{Cut: 6, CutAway: 1, Clipped: true}, model.Layer{CutTo: model.AtMargins}, "Placed as drawn. Cut at the margins and its clips: 6 shapes in part, 1 wholly."},
		{register.Placement{CutAway: 2, Clipped: true}, model.Layer{CutTo: model.AtClips}, "Placed as drawn. Cut at its clips: 2 shapes wholly."},
		{register.Placement{Marks: []register.Found{corner}}, model.Layer{}, "Not moved: its mark “corner” is in its place."},
		{register.Placement{Marks: []register.Found{corner}, DX: 0.001}, model.Layer{}, "Not moved: its mark “corner” is in its place."},
		{register.Placement{Marks: []register.Found{corner}, DX: -40, DY: -12.5}, model.Layer{}, "Moved 40 mm left and 12.5 mm down to put its mark “corner” in its place."},
		{register.Placement{Marks: []register.Found{corner}, DY: 0.2}, model.Layer{OffsetY: 0.2}, "Moved 0.2 mm up to put its mark “corner” in its place; this includes the layer's offset of 0.2 mm up."},
		{register.Placement{Marks: []register.Found{corner, far}, DX: 3, TurnDeg: -0.25, RMS: 0.0124}, model.Layer{},
			"Turned 0.250° clockwise and moved 3 mm right to put its marks “corner” and “far” in their places, 0.012 mm off (root mean square)."},
		{register.Placement{Marks: []register.Found{corner, far}, TurnDeg: 90}, model.Layer{},
			"Turned 90.000° counter-clockwise to put its marks “corner” and “far” in their places, 0 mm off (root mean square)."},
	} {
		if got := strings.ReplaceAll(placedView(c.p, &c.m), "\u00a0", " "); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}
