package proof

import (
	"math"
	"testing"
)

// FuzzStatedBed reads programs that state a bed: whatever the comments say, the path
// keeps its moves and its places, and heights over the paper are numbers.
func FuzzStatedBed(f *testing.F) {
	const moves = "\nG21 G17 G90 G94\nG0 Z6\nG0 X10 Y10\nG1 Z-1 F300\nX50 Y20\nG0 Z6\nM2\n"
	const bent = "(bed bent from X0 Y0 to X148 Y105)\n(bed tip X0.3 Y-0.2, zero X12 Y12)\n(bed touched X10 Y10 height -0.04)\n(bed touched X70 Y10 height 0.77)\n" +
		"(bed touched X130 Y10 height 0.51)\n(bed touched X10 Y47 height 0.23)\n(bed touched X70 Y47 height 1.1)\n(bed touched X130 Y47 height 0.73)\n" +
		"(bed touched X10 Y84 height 0.23)\n(bed touched X70 Y84 height 1)\n(bed touched X130 Y84 height 0.73)"
	for _, head := range []string{
		"", bent,
		"(bed flat from X0 Y0 to X148 Y105)\n(bed tip X0 Y0, zero X0 Y0)\n(bed touched X0 Y0 height 0)\n(bed touched X9 Y0 height 1)\n(bed touched X0 Y9 height 2)",
		"(bed flat from X0 Y0 to X148 Y105)",                               // no touches
		"(bed bent from X148 Y105 to X0 Y0)\n(bed touched X0 Y0 height 0)", // inside out
		"(bed flat from X0 Y0 to X1 Y1)\n(bed touched X0 Y0 height 1)\n(bed touched X1 Y1 height 1)\n(bed touched X2 Y2 height 1)", // in a line
		"(bed flat from X-1e308 Y0 to X1e308 Y1)\n(bed touched X1e308 Y0 height -1e308)\n(bed touched X0 Y1e-308 height 1e300)\n(bed touched X1 Y1 height NaN)",
		"(bed flat from XInf Y0 to X1 Y1)\n(bed touched X0 Y0 height +Inf)",
		"(bed bent from X0 Y0 to X0 Y0)\n(bed touched X5 Y5 height 1)\n(bed touched X5 Y5 height 2)\n(bed touched X5 Y5 height 3)",
		"(bed touched X height)\n(bed tip)\n(bed  from)\n(bed",
	} {
		f.Add([]byte(head + moves))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p, _ := Read("fuzz.nc", text)
		over := OnStatedBed(p)
		if len(over.Moves) != len(p.Moves) {
			t.Fatalf("%d moves over the paper, of %d", len(over.Moves), len(p.Moves))
		}
		for i, m := range over.Moves {
			was := p.Moves[i]
			if m.To.X != was.To.X || m.To.Y != was.To.Y || m.Kind != was.Kind {
				t.Fatalf("move %d goes to %v, not to %v", i+1, m.To, was.To)
			}
			if math.IsNaN(m.To.Z) || math.IsNaN(m.From.Z) {
				t.Fatalf("move %d: the height over the paper is not a number", i+1)
			}
		}
		Check(over, Limits{Sheet: Rect{0, 0, 210, 297}, SafePress: 4, SafeHeight: 5})
	})
}
