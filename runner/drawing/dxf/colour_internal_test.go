package dxf

import (
	"testing"

	"mahlstick/recipe/colour"
)

// Some colours of the table, from memory; .ci/ezdxf compares the others with a second
// reader, but for the greys and the darkest tones of the second half.
func TestIndexedColours(t *testing.T) {
	for n, want := range map[int]string{
		1: "#ff0000", 2: "#ffff00", 3: "#00ff00", 4: "#00ffff", 5: "#0000ff", 6: "#ff00ff", 7: "#000000", 8: "#808080", 9: "#c0c0c0",
		10: "#ff0000", 11: "#ff7f7f", 12: "#a50000", 13: "#a55252", 18: "#260000", 20: "#ff3f00", 23: "#a56752", 30: "#ff7f00",
		90: "#00ff00", 130: "#00ffff", 170: "#0000ff", 240: "#ff003f", 255: "#ffffff",
	} {
		if got := indexed(n).String(); got != want {
			t.Errorf("colour %d: %s, want %s", n, got, want)
		}
	}
	for n := 1; n <= 255; n++ {
		if _, ok := colour.Parse(indexed(n).String()); !ok {
			t.Errorf("colour %d", n)
		}
	}
}
