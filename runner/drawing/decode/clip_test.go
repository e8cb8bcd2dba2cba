package decode_test

import (
	"slices"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

// A copy of a block with a clip is pointed out; one with another dictionary is
// not.
func TestClippedBlock(t *testing.T) {
	square := groups(0, "LWPOLYLINE", 8, "art", 90, 4, 70, 1, 10, 0, 20, 0, 10, 9, 20, 0, 10, 9, 20, 9, 10, 0, 20, 9)
	copied := groups(0, "INSERT", 8, "art", 102, "{ACAD_XDICTIONARY", 360, "2A", 102, "}", 2, "a", 10, 0, 20, 0)
	for filter, want := range map[string]bool{"SPATIAL_FILTER": true, "SORTENTSTABLE": false} {
		_, problems := decode.Drawing(dxf(blocks(block("a", square)), copied+groups(999, filter)), drawing.Options{})
		if got := slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.Code == problem.ClippedShape }); got != want || problems.HasErrors() {
			t.Errorf("%s: %v", filter, problems)
		}
	}
}
