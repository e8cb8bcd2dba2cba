package stroke

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// TestStretchesShareTheRegion: to every point of a region belongs one place of
// its axis, so the parts of all stretches, none of them painted, are together
// the area by the outline's corners.
func TestStretchesShareTheRegion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.SampledFrom([]int32{30, 100, 400, 3000}).Draw(t, "size")
		ring := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) plane.Point {
			at := rapid.Int32Range(0, size)
			return plane.Point{X: 100 * at.Draw(t, "x"), Y: 100 * at.Draw(t, "y")}
		}), 3, 12).Draw(t, "ring")
		closed, _ := region.Build([]region.Contour{{Points: ring}}, region.Options{})
		for _, r := range closed.Regions {
			g, err := axis.Medial(r, 0.0005)
			if err != nil {
				t.Fatal(err)
			}
			if len(g.Edges) == 0 {
				continue
			}
			sum, long := 0.0, 0.0
			for _, e := range g.Edges {
				ends := [2]joint{meeting, meeting}
				for k, n := range [2]int32{e.From, e.To} {
					if len(g.Nodes[n].Edges) == 1 {
						ends[k] = tip
					}
				}
				sum += squareMM(stretch{e.Points, ends, e.Slopes}.bare(0))
				long += length(e.Points) / plane.PerMM
			}
			// Chords leave the axis by up to 0.001 mm, and so do radii; what was
			// left out of the axis lies in pockets by the outline.
			if off := math.Abs(sum - r.Area()); off > 0.002*r.Area()+0.004*long {
				t.Fatalf("%.6f mm² by the axis, %.6f by the outline %v", sum, r.Area(), r.Rings)
			}
		}
	})
}
