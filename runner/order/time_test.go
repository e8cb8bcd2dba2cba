package order_test

import (
	"testing"

	"mahlstick/runner/order"
	"mahlstick/runner/plane"
	"mahlstick/runner/proof"
	"mahlstick/runner/stroke"
)

// moves has the strokes painted in their order on a machine that lifts the brush
// by 6 mm between them.
func moves(strokes []stroke.Gesture, at proof.Point) *proof.Path {
	p := &proof.Path{}
	to := func(kind proof.Kind, next proof.Point, feed float64) {
		p.Moves = append(p.Moves, proof.Move{Kind: kind, From: at, To: next, Feed: feed})
		at = next
	}
	for _, s := range strokes {
		for i, q := range s.Points {
			place := proof.Point{X: plane.MM(q.X), Y: plane.MM(q.Y), Z: -q.Press}
			if i == 0 {
				to(proof.Rapid, proof.Point{X: place.X, Y: place.Y, Z: 6}, 0)
				to(proof.Feed, place, 450)
				continue
			}
			to(proof.Feed, place, 900)
		}
		to(proof.Rapid, proof.Point{X: at.X, Y: at.Y, Z: 6}, 0)
	}
	return p
}

// Order and time of 10,000 strokes of 12 moves each, each axis by itself.
func BenchmarkOrderAndTime(b *testing.B) {
	all := many(10_000)
	for i := range all {
		from, to := all[i].Points[0], all[i].Points[1]
		var points []stroke.Point
		for k := range 10 {
			points = append(points, stroke.Point{X: from.X + (to.X-from.X)*int32(k)/9, Y: from.Y + (to.Y-from.Y)*int32(k)/9, Press: float64(k%5) / 2, Width: 1})
		}
		all[i].Points = points
	}
	axis := proof.AxisMotion{Feed: 3000, Acceleration: 150}
	timing := proof.Timing{Travel: 3000, ZFeed: 600, Corner: 0.05, Axes: [3]proof.AxisMotion{axis, axis, axis}}
	o := order.Options{Return: true}
	var sorted []stroke.Gesture
	seconds := 0.0
	for b.Loop() {
		sorted, seconds = order.Sort(all, o), 0
		for _, s := range moves(sorted, proof.Point{Z: 6}).Seconds(timing) {
			seconds += s
		}
	}
	b.ReportMetric(order.Travel(sorted, o), "mm-travel")
	b.ReportMetric(seconds, "s-at-the-machine")
}
