package proving

import (
	"fmt"
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/runner/plane"
	"mahlstick/runner/proof"
	"mahlstick/runner/region"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// pixel is the side of a pixel (mm) when marks are compared with the drawing.
const pixel = 0.05

// comparison compares the marks of a program with what was drawn.
type comparison struct {
	frame sheetFrame
	brush *proof.Brush
	pixel float64 // mm
}

// with compares a program with the regions of a layer and the given lines. Check
// strip and register marks are no part of the drawing.
func (c comparison) with(path *proof.Path, layer stage.Moved, lines []stroke.Gesture) (proof.Cover, error) {
	return proof.Compare(path, proof.Comparison{
		Brush: c.brush, TipX: layer.Model.Brush.TipX, TipY: layer.Model.Brush.TipY, Pixel: c.pixel, Askew: true,
		Drawn: drawnOnBed(layer.Regions, lines, c.frame), LeftOut: besideOnBed(layer.Gestures, c.frame),
	})
}

// agreement is the rule that the program paints what was drawn, except for what
// the plan lists as not painted. It allows 5 %, to catch only gross mistakes;
// the page shows the exact figures.
func agreement(l stage.Proven, c proof.Cover) proof.Outcome {
	// mm²: of marks wider than drawn, and of the error in counting pixels along
	// what is not painted
	hairlines, left := float64(l.Plan.Necks*l.Model.Brush.TouchMark), 0.0
	for _, r := range l.Plan.Remarks {
		switch {
		case r.Area > 0: // counted in pixels, it may be half a pixel wider on each side
			left += float64(pixel * (r.Length + 2*pixel))
		case r.Reason == stroke.TooThin:
			hairlines += float64(r.Length * l.Model.Brush.TouchMark)
		}
	}
	for _, r := range l.Motion.Remarks {
		if l.Partial && r.Area > 0 { // also at the end of the way that is left bare, which other strokes may not cover here
			left += float64(r.Width * r.Width)
		}
	}
	const share = 0.05
	least := (1 - share) * max(c.Drawn-l.Refused-left, 0)
	most := float64(share*c.Drawn) + hairlines
	return proof.Outcome{
		Name:    "the marks lie on the drawing",
		OK:      c.Covered >= least && c.Spill <= most,
		Found:   fmt.Sprintf("%.1f mm² of the %.1f mm² drawn is covered, %.1f mm² is outside the drawing", c.Covered, c.Drawn, c.Spill),
		Allowed: fmt.Sprintf("at least %.1f, at most %.1f mm²", least, most),
		Why:     "a layer in the wrong place or of the wrong width spoils the sheet",
	}
}

// drawnOnBed is what was drawn, in the machine's coordinates: the regions, and
// the area that the open lines sweep at their widths.
func drawnOnBed(regions *region.Result, lines []stroke.Gesture, f sheetFrame) []proof.Region {
	var out []proof.Region
	for _, reg := range regions.Regions {
		var r proof.Region
		for _, ring := range reg.Rings {
			vs := make([]proof.Vertex, 0, len(ring))
			for _, q := range ring {
				x, y := q.MM()
				x, y = f.onBed(x, y)
				vs = append(vs, proof.Vertex{X: x, Y: y})
			}
			r.Rings = append(r.Rings, vs)
		}
		out = append(out, r)
	}
	for _, g := range lines {
		out = append(out, sweep(g, f))
	}
	return out
}

// besideOnBed are the areas of the gestures that belong to no drawing, in the
// machine's coordinates.
func besideOnBed(gestures []stroke.Gesture, f sheetFrame) []proof.Region {
	var out []proof.Region
	for _, g := range gestures {
		if !g.Kind.OfPicture() {
			out = append(out, sweep(g, f))
		}
	}
	return out
}

// sweep is the area of a gesture: for each segment the hull of the discs at its
// ends, all rings wound the same way.
func sweep(g stroke.Gesture, f sheetFrame) proof.Region {
	var r proof.Region
	for i, a := range g.Points {
		b := g.Points[min(i+1, len(g.Points)-1)]
		if i == len(g.Points)-1 && i > 0 {
			break
		}
		r.Rings = append(r.Rings, capsule(a, b, f))
	}
	return r
}

// capsule is the hull of two discs as a ring, with 64 chords for each round end.
func capsule(a, b stroke.Point, f sheetFrame) []proof.Vertex {
	ax, ay, ar := plane.MM(a.X), plane.MM(a.Y), a.Width/2
	bx, by, br := plane.MM(b.X), plane.MM(b.Y), b.Width/2
	d := arith.Hypot(bx-ax, by-ay)
	if d <= math.Abs(ar-br) {
		if br > ar {
			ax, ay, ar = bx, by, br
		}
		bx, by, br, d = ax, ay, ar, 0
	}
	along, half := 0.0, math.Pi/2
	if d > 0 {
		along = arith.Atan2(by-ay, bx-ax)
		half = arith.Acos((ar - br) / d)
	}
	var ring []proof.Vertex
	const chords = 64
	arc := func(x, y, r, from, to float64) {
		for k := range chords + 1 {
			sin, cos := arith.SinCos(from + float64((to-from)*float64(k))/chords)
			vx, vy := f.onBed(x+float64(r*cos), y+float64(r*sin))
			ring = append(ring, proof.Vertex{X: vx, Y: vy})
		}
	}
	arc(bx, by, br, along-half, along+half)
	arc(ax, ay, ar, along+half, along+2*math.Pi-half)
	return ring
}
