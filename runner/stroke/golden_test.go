package stroke_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

var update = flag.Bool("update", false, "write the golden file anew")

// TestGolden lists the gestures of a page of shapes in full, digit for digit:
// the same on every processor.
func TestGolden(t *testing.T) {
	for corners, file := range map[model.Cornering]string{model.Touch: "testdata/gestures.golden", model.Joined: "testdata/joined.golden"} {
		t.Run(file, func(t *testing.T) { compareGolden(t, corners, file) })
	}
}

func compareGolden(t *testing.T, corners model.Cornering, file string) {
	curve, err := brush.Fit([]brush.Mark{{Press: 1, Width: 0.5}, {Press: 2, Width: 1.1}, {Press: 3, Width: 1.8}, {Press: 4, Width: 2.2}}, 5, 2.4, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	l := &model.Layer{
		Name: "golden", Corners: corners, Overlap: 0.15, Tolerance: 0.02,
		Brush: &model.Brush{WidestMark: 2.4, SafePress: 5, Curve: curve, Thinnest: 0.35, Entry: 1.5, Exit: 3},
		Width: formula(func(along, _, length, bend float64) (float64, error) {
			return 0.4 + float64(float64(1.5*along)*(1-along)) + float64(0.3*bend), nil
		}),
	}
	reed := []float64{0.1, 0.2, 7.3, 3.9, 15.2, 5.1, 24.4, 4.2, 31, 0.5, 24.9, 5.9, 15.3, 7.2, 6.1, 5.4}
	rings := [][]plane.Point{
		ring(reed...), capsule(40.1, 5.2, 0.7, 52.3, 9.1, 1.1), ring(0, 20, 14, 20.3, 13.7, 31, 7, 27, 0.4, 30.6),
		disc(30, 25, 5), disc(30.3, 24.8, 2.2), ring(45, 20, 52, 20, 52, 20.9, 45, 20.15),
	}
	p := plan(t, stroke.Drawn{
		Closed: regionsOf(rings...),
		Lines:  []stroke.OpenLine{{Points: ring(append(arcOf(20, 40, 9, 170, 20), 40, 36, 47, 41)...), Identity: contour.Identity{Shape: 6}}},
	}, l)
	var b strings.Builder
	for _, g := range p.Gestures {
		fmt.Fprintf(&b, "shape %d %v\n", g.Shape, g.Kind)
		for _, q := range g.Points {
			fmt.Fprintf(&b, "  %.4f %.4f press %v width %v\n", plane.MM(q.X), plane.MM(q.Y), q.Press, q.Width)
		}
	}
	for _, r := range p.Remarks {
		x, y := r.At.MM()
		fmt.Fprintf(&b, "shape %d %v at %.4f %.4f: %v mm² bare, %v mm long, %v mm wide\n", r.Shape, r.Reason, x, y, r.Area, r.Length, r.Width)
	}
	fmt.Fprintf(&b, "drawn %v, painted %v, refused %v\n", p.Drawn, p.Painted(), p.Refused)
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.String(); got != string(want) {
		gl, wl := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range min(len(gl), len(wl)) {
			if gl[i] != wl[i] {
				t.Fatalf("line %d:\n%s\nwant:\n%s", i+1, gl[i], wl[i])
			}
		}
		t.Fatalf("%d lines, want %d", len(gl), len(wl))
	}
}
