package measure_test

import (
	"math"
	"math/rand/v2"

	"mahlstick/recipe/measure"
)

// A virtual bench: brushes, sheets and calipers as the workshop has them (common
// practice, no source). It is written from models of a brush alone, and knows
// nothing of how programs are planned or readings are fitted.

// brushModel is a brush as it truly is.
type brushModel struct {
	touchMark float64 // mm
	taper     float64 // mm of width a mm of press
	belly     float64 // press in mm from which the mark widens more slowly
	fade      float64 // how much the widening slows, 1/mm
	play      float64 // mm of press between going down and coming up
	lag       float64 // mm at 1 mm of press
	spread    float64 // D, mm²/s
	safe      float64 // mm
}

func randomBrush(r *rand.Rand) brushModel {
	return brushModel{
		touchMark: 0.15 + 0.3*r.Float64(), taper: 0.35 + 0.3*r.Float64(), belly: 2 + 2*r.Float64(), fade: 0.02 * r.Float64(),
		play: 0.1 * r.Float64(), lag: 0.15 + 0.25*r.Float64(), spread: 0.002 + 0.01*r.Float64(), safe: 4 + r.Float64(),
	}
}

// width is that of a mark whose press was reached from below: 0 above the paper.
func (b brushModel) width(press float64) float64 {
	if press < 0 {
		return 0
	}
	over := math.Max(press-b.belly, 0)
	return b.touchMark + b.taper*press - b.taper*b.fade*over*over
}

// workshop is how a sheet is painted and measured.
type workshop struct {
	touch    float64 // by how much this touch-off was too deep
	z        float64 // sd of one mark's height
	edge     float64 // sd of one mark's width
	reading  float64 // sd of one reading
	step     float64 // of the caliper
	readings int     // of one mark
	repeats  int
}

func everyday(r *rand.Rand) workshop {
	return workshop{touch: 0.1 * r.NormFloat64(), z: 0.01, edge: 0.02, reading: 0.05, step: 0.01, readings: 3, repeats: 3}
}

// presses of a ladder: from 0.2 mm above the paper in steps of 0.05 mm, then evenly
// to the deepest.
func presses(deepest float64) []float64 {
	var out []float64
	for i := -4; i <= 4; i++ {
		out = append(out, 0.05*float64(i))
	}
	const rungs = 12
	for i := 1; i <= rungs; i++ {
		out = append(out, 0.2+(deepest-0.2)*float64(i)/rungs)
	}
	return out
}

func (w workshop) read(r *rand.Rand, width float64) float64 {
	return math.Round((width+w.reading*r.NormFloat64())/w.step) * w.step
}

// ladder paints and measures a ladder.
func (w workshop) ladder(r *rand.Rand, b brushModel, deepest float64) []measure.Reading {
	var out []measure.Reading
	number := 0
	for _, press := range presses(deepest) {
		for range w.repeats {
			number++
			width := b.width(press + w.touch + w.z*r.NormFloat64())
			if width > 0 {
				width += w.edge * r.NormFloat64()
			}
			for range w.readings {
				m := measure.Reading{Mark: number, Press: press}
				if width > 0 {
					m.Width = math.Max(w.read(r, width), w.step)
				}
				out = append(out, m)
			}
		}
	}
	return out
}

// towed is where a mark is that follows the brush's axis at a distance, moving only
// towards it, as the axis goes along a way in small steps.
func towed(way [][2]float64, lag float64) [][2]float64 {
	x, y := way[0][0]-lag, way[0][1]
	var out [][2]float64
	for _, h := range way {
		dx, dy := h[0]-x, h[1]-y
		if d := math.Hypot(dx, dy); d > 0 {
			x, y = h[0]-dx*lag/d, h[1]-dy*lag/d
		}
		out = append(out, [2]float64{x, y})
	}
	return out
}

// paintedRing is the radius of the ring that a towed mark paints while the axis
// goes round a circle, after some turns.
func paintedRing(radius, lag float64) float64 {
	const steps = 3000
	var way [][2]float64
	for i := range 3 * steps {
		s, c := math.Sincos(2 * math.Pi * float64(i) / steps)
		way = append(way, [2]float64{radius * s, radius - radius*c})
	}
	sum := 0.0
	for _, p := range towed(way, lag)[2*steps:] {
		sum += math.Hypot(p[0], p[1]-radius) / steps
	}
	return sum
}

// missedCorner is how far a towed mark stays from a corner at which the axis turns.
func missedCorner(turn, lag float64) float64 {
	sin, cos := math.Sincos(turn * math.Pi / 180)
	var way [][2]float64
	for i := -400; i <= 1600; i++ {
		s := float64(i) * 0.002 * lag
		if i <= 0 {
			way = append(way, [2]float64{s, 0})
		} else {
			way = append(way, [2]float64{s * cos, s * sin})
		}
	}
	nearest := math.Inf(1)
	for _, p := range towed(way, lag) {
		nearest = math.Min(nearest, math.Hypot(p[0], p[1]))
	}
	return nearest
}

// spreadWidth is the width of a mark at a feed in mm/min: the brush stands on a
// place while it passes by its own length, which is that of its mark's width.
func (b brushModel) spreadWidth(press, feed float64) float64 {
	dry := b.width(press)
	return dry + 2*math.Sqrt(b.spread*dry/(feed/60))
}
