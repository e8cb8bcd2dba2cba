package presenting

import (
	"math"
	"strconv"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/register"
)

// sizeView is the extent of what is drawn, in a sentence.
func sizeView(contours []register.Contour) string {
	if len(contours) == 0 {
		return ""
	}
	box := plane.Empty()
	for _, c := range contours {
		box = box.Union(plane.Bounds(c.Points))
	}
	width, height := plane.MM(box.Max.X-box.Min.X), plane.MM(box.Max.Y-box.Min.Y)
	return "It measures " + format.Page.Fixed(width, 1) + " × " + length(height, 1) + ". "
}

// placedView describes how the marks placed the drawing on the sheet, and what
// was cut off.
func placedView(p register.Placement, m *model.Layer) string {
	text := movedView(p, m)
	if cut := CutText(p, m); cut != "" {
		text += " C" + cut[1:] + "."
	}
	return text
}

// CutText counts what was cut off; "" if nothing was.
func CutText(p register.Placement, m *model.Layer) string {
	if p.Cut+p.CutAway == 0 {
		return ""
	}
	at := map[model.CutTo]string{model.AtClips: "its clips", model.AtPage: "its page", model.AtMargins: "the margins"}[m.CutTo]
	if p.Clipped && m.CutTo != model.AtClips {
		at += " and its clips"
	}
	text := "cut at " + at + ": "
	switch {
	case p.CutAway == 0:
		return text + format.Count(p.Cut, "shape") + " in part"
	case p.Cut == 0:
		return text + format.Count(p.CutAway, "shape") + " wholly"
	}
	return text + format.Count(p.Cut, "shape") + " in part, " + strconv.Itoa(p.CutAway) + " wholly"
}

func movedView(p register.Placement, m *model.Layer) string {
	if len(p.Marks) == 0 {
		return "Placed as drawn."
	}
	var names []string
	for _, f := range p.Marks {
		names = append(names, "“"+f.Name+"”")
	}
	marks, are, places := "its mark "+names[0], "is", "its place"
	if len(names) > 1 {
		marks, are, places = "its marks "+format.List(names), "are", "their places"
	}
	var done []string
	if p.TurnDeg != 0 {
		done = append(done, "turned "+format.Page.Fixed(math.Abs(p.TurnDeg), 3)+"° "+turnWord(p.TurnDeg))
	}
	if move := moveWords(p.DX, p.DY); move != "" {
		done = append(done, "moved "+move)
	}
	text := "Not moved: " + marks + " " + are + " in " + places
	if len(done) > 0 {
		text = format.List(done) + " to put " + marks + " in " + places
		text = strings.ToUpper(text[:1]) + text[1:]
	}
	if len(names) > 1 {
		text += ", " + length(p.RMS, 3) + " off (root mean square)"
	}
	if offset := moveWords(m.OffsetX, m.OffsetY); offset != "" {
		text += "; this includes the layer's offset of " + offset
	}
	return text + "."
}

// moveWords describes a move over the sheet, given in mm; "" if it rounds to
// nothing.
func moveWords(x, y float64) string {
	var parts []string
	for _, way := range []struct {
		by         float64
		less, more string
	}{{x, "left", "right"}, {y, "down", "up"}} {
		word := way.more
		if way.by < 0 {
			word = way.less
		}
		if by := length(math.Abs(way.by), 2); by != length(0, 2) {
			parts = append(parts, by+" "+word)
		}
	}
	return format.List(parts)
}

func turnWord(degrees float64) string {
	if degrees < 0 {
		return "clockwise"
	}
	return "counter-clockwise"
}

// length writes a length in mm with at most the given number of decimals.
func length(mm float64, decimals int) string {
	return format.Page.Unit(format.Page.Number(mm, decimals), "mm")
}
