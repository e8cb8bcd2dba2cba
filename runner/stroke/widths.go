package stroke

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

const (
	// sampleStep is the distance between the points at which a width formula is
	// evaluated, in grid steps. Long lines have no more than mostSamples of them.
	sampleStep  = plane.PerMM / 50
	mostSamples = 200_000
	// jump is the difference of radius, in grid steps, above which the distance
	// between two samples is halved, down to one grid step.
	jump = plane.PerMM / 100
	// mostHalvings bounds the added samples, per evenly spaced one. A formula
	// that needs more changes too quickly for any brush.
	mostHalvings = 4
	// evenRadius (grid steps): a sample is left out if its radius differs by
	// less from an even change.
	evenRadius = 1.0
)

// widthSampler evaluates the width formula of a line where it changes.
type widthSampler struct {
	formula model.WidthFunc
	track   *track
	shape   int
	stops   []float64 // distances at which a point must stay

	left int // halvings that are still allowed
	out  []sample
}

// sample is a point of a line at a distance from its start.
type sample struct {
	s     float64
	point axis.Point
}

// sample returns the points of the line.
func (w *widthSampler) sample() ([]axis.Point, error) {
	step := max(sampleStep, w.track.length/mostSamples)
	w.left = mostHalvings * int(w.track.length/step+1)
	first, err := w.at(w.stops[0])
	if err != nil {
		return nil, err
	}
	points := []axis.Point{first.point}
	for i := 1; i < len(w.stops); i++ {
		from, to := w.stops[i-1], w.stops[i]
		w.out = append(w.out[:0], first)
		n := math.Ceil((to - from) / step)
		for k := 1.0; k <= n; k++ {
			next, err := w.at(vector.Lerp(from, to, k/n))
			if err != nil {
				return nil, err
			}
			if err := w.halve(w.out[len(w.out)-1], next); err != nil {
				return nil, err
			}
		}
		first = w.out[len(w.out)-1]
		for _, q := range w.thinned()[1:] {
			points = append(points, q.point)
		}
	}
	return points, nil
}

// at evaluates the formula at a distance from the start.
func (w *widthSampler) at(s float64) (sample, error) {
	t := w.track
	share := 0.0
	if t.length > 0 {
		share = s / t.length
	}
	out := sample{s, t.at(s)}
	width, err := w.formula.WidthAt(w.shape, share, s/plane.PerMM, t.length/plane.PerMM, t.bend(s))
	if err == nil {
		out.point.R, err = radius(width, out.point)
	}
	return out, err
}

// halve adds the samples after a up to b. It halves the distance where the
// width jumps, until two samples are one grid step apart.
func (w *widthSampler) halve(a, b sample) error {
	if difference := a.point.R - b.point.R; max(difference, -difference) <= jump || b.s-a.s <= 1 || w.left == 0 {
		w.out = append(w.out, b)
		return nil
	}
	w.left--
	middle, err := w.at((a.s + b.s) / 2)
	if err != nil {
		return err
	}
	if err := w.halve(a, middle); err != nil {
		return err
	}
	return w.halve(middle, b)
}

// thinned leaves out the samples between which the radius changes evenly. They
// lie on one straight edge of the line.
func (w *widthSampler) thinned() []sample {
	return vector.Simplify(w.out, evenRadius, func(i, from, to int) float64 {
		p, a, b := w.out[i], w.out[from], w.out[to]
		even := vector.Lerp(float64(a.point.R), float64(b.point.R), (p.s-a.s)/(b.s-a.s))
		return math.Abs(float64(p.point.R) - even)
	})
}
