package register

import (
	"fmt"
	"math"

	"mahlstick/recipe/model"
	"mahlstick/runner/vector"
)

// smallerFix advises on the size and the place of a drawing that no mark places
// and that reaches past the margin. last is what else would help.
func smallerFix(t *task, p *Placement, last string) string {
	moved := t.layer.OffsetX != 0 || t.layer.OffsetY != 0
	if t.layer.DrawnSize.By == model.ToMargins {
		if moved {
			return "leave the layer's offsets out, or " + last
		}
		return "move the shape in the drawing, or " + last
	}
	size := "write to the margins in the column drawn size"
	if moved {
		size += " and leave the offsets out"
	}
	box := vector.Empty()
	for _, c := range t.drawing.Contours {
		for i, q := range c.Points {
			half := 0.0
			if i < len(c.Widths) && t.layer.Width == nil {
				half = c.Widths[i] / 2
			}
			box.AddDisc(p.Apply(q), half)
		}
	}
	room := t.sheet.Margin + t.layer.Brush.AtMargin()
	if box.Max.X-box.Min.X <= t.sheet.Width-2*room && box.Max.Y-box.Min.Y <= t.sheet.Height-2*room {
		return "correct the layer's offsets, or move the shape in the drawing; or " + size + "; or " + last
	}
	if k := largestFactor(t, box, room); k > 0 && t.layer.Width == nil {
		size += ", or at most " + smallerSize(&t.layer.DrawnSize, k)
	}
	return size + "; or " + last
}

// largestFactor is by how much a drawing has to be scaled about its corner or its
// zero, which lies at the layer's offsets, to lie between the margins; 0 if that does
// not help.
func largestFactor(t *task, box vector.Box, margin float64) float64 {
	least, most := 0.0, 1.0
	side := func(low, high, zero, length float64) {
		if most = min(most, (length-margin-zero)/(high-zero)); !(high > zero) {
			most = 0
		}
		switch {
		case low > zero:
			least = max(least, (margin-zero)/(low-zero))
		case zero < margin:
			most = 0
		case low < zero:
			most = min(most, (zero-margin)/(zero-low))
		}
	}
	side(box.Min.X, box.Max.X, t.layer.OffsetX, t.sheet.Width)
	side(box.Min.Y, box.Max.Y, t.layer.OffsetY, t.sheet.Height)
	if k := roundedDown(most); k > 0 && k < 1 && k >= least {
		return most
	}
	return 0
}

// smallerSize is a drawn size times a factor, rounded down.
func smallerSize(size *model.DrawnSize, k float64) string {
	switch size.By {
	case model.Wide:
		return mm(roundedDown(float64(size.Value*k))) + " mm wide"
	case model.High:
		return mm(roundedDown(float64(size.Value*k))) + " mm high"
	case model.Factor:
		return fmt.Sprintf("%.3g %%", roundedDown(float64(size.Value*k)*100))
	}
	return fmt.Sprintf("%.3g %%", roundedDown(k*100))
}

// roundedDown keeps three digits.
func roundedDown(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	steps := 1.0 // in one
	for v*steps < 100 {
		steps *= 10
	}
	for v*steps >= 1000 {
		steps /= 10
	}
	return math.Floor(float64(v*steps)) / steps
}
