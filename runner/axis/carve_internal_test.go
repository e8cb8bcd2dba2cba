package axis

import (
	"testing"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// Thousands of long edges side by side come in one after the other, so that
// each crosses few triangles, whichever way the teeth of a comb lean.
func TestLongEdgesCrossLittle(t *testing.T) {
	var b Builder
	for _, lean := range []int32{0, 1000, 300_000, 3_000_000, 9_000_000} {
		for _, apart := range []int32{40, 4000} {
			const teeth = 4000
			var comb []plane.Point
			for i := int32(teeth - 1); i >= 0; i-- {
				x := i * apart
				comb = append(comb, plane.Point{X: x + apart/2 + lean/9000, Y: 1000}, plane.Point{X: x + apart/2 + lean, Y: 9_000_000},
					plane.Point{X: x + lean, Y: 9_000_000}, plane.Point{X: x})
			}
			comb = append(comb, plane.Point{X: -20_000, Y: -20_000}, plane.Point{X: teeth * apart, Y: -20_000})
			if plane.Area2(comb) < 0 {
				t.Fatalf("lean %d: the comb runs the wrong way round", lean)
			}
			if err := b.build(region.Region{Rings: [][]plane.Point{comb}}); err != nil {
				t.Errorf("lean %d, %d apart: %v", lean, apart, err)
				continue
			}
			if each := float64(b.mesh.scratch.looks) / float64(len(comb)); each > 600 {
				t.Errorf("lean %d, %d apart: %.0f corners looked at for each edge", lean, apart, each)
			} else {
				t.Logf("lean %d, %d apart: %.1f corners looked at for each edge", lean, apart, each)
			}
		}
	}
}
