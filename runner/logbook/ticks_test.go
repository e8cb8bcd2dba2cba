package logbook

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"mahlstick/recipe/model"
	"pgregory.net/rapid"
)

var tickNumbers = regexp.MustCompile(`<text class="at" x="([-0-9.]+)" y="([-0-9.]+)"( transform="[^"]*")?>([0-9]+)</text>`)

// A place that is looked up by the numbers at the ticks, as one would with a ruler, is
// where it lies from the lay corner.
func TestTicks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sheet := &Sheet{Width: rapid.Float64Range(60, 900).Draw(t, "width"), Height: rapid.Float64Range(60, 900).Draw(t, "height")}
		sheet.Lay = rapid.SampledFrom([]model.Corner{model.LowerLeft, model.LowerRight, model.UpperRight, model.UpperLeft}).Draw(t, "lay")
		fromRight := sheet.Lay == model.LowerRight || sheet.Lay == model.UpperRight
		fromTop := sheet.Lay == model.UpperLeft || sheet.Lay == model.UpperRight
		f := drawnMap(t, sheet)
		s := &svg{height: sheet.Height}
		drawEdges(s, f, "")
		var across, up int
		for _, m := range tickNumbers.FindAllStringSubmatch(s.String(), -1) {
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			v, _ := strconv.ParseFloat(m[4], 64)
			at, back := x, sheet.Width-x
			if m[3] == "" {
				across++
			} else {
				up++
				at = sheet.Height - y
				back = sheet.Height - at
			}
			if m[3] == "" && fromRight || m[3] != "" && fromTop {
				at = back
			}
			if math.Abs(at-v) > 0.001 {
				t.Errorf("%s stands at %g mm", m[0], at)
			}
		}
		if f.wide*f.scale > 25 && across < 2 || f.high*f.scale > 25 && up < 2 {
			t.Errorf("%d numbers across and %d up on %+v", across, up, f.frame)
		}
	})
}

// drawnMap is a map of a part of a sheet.
func drawnMap(t *rapid.T, sheet *Sheet) MapOf {
	part := rapid.Float64Range(0.5, 1)
	f := MapOf{sheet: sheet, left: tickRoom, low: tickRoom}
	f.wide, f.high = sheet.Width*part.Draw(t, "wide"), sheet.Height*part.Draw(t, "high")
	f.x, f.y = rapid.Float64Range(0, sheet.Width-f.wide).Draw(t, "x"), rapid.Float64Range(0, sheet.Height-f.high).Draw(t, "y")
	f.scale = min(50/f.wide, 50/f.high, 1)
	return f
}
