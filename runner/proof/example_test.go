package proof_test

import (
	"fmt"

	"mahlstick/runner/proof"
)

// A program is read and asked what it does.
func ExampleRead() {
	path, faults := proof.Read("line.nc", []byte(`G21 G90 G94
G0 Z5
G0 X20 Y30
G1 Z-1.5 F300
X60 F750
G0 Z5
M2
`))
	m := proof.Measure(path, proof.Timing{Travel: 1500, Acceleration: 100}, nil)
	fmt.Println(len(faults), "faults,", len(m.Strokes), "stroke")
	fmt.Printf("painted %.1f mm, lowest Z %.1f mm, %s\n", m.Painted, m.Lowest, proof.Clock(m.Seconds))
	// Output:
	// 0 faults, 1 stroke
	// painted 40.0 mm, lowest Z -1.5 mm, 5.2 s
}

// A press past the safe press is told with its line.
func ExampleCheck() {
	path, _ := proof.Read("deep.nc", []byte("G21 G90 G94\nG0 Z5\nG0 X20 Y30\nG1 Z-5.01 F300\nX60\nG0 Z5\nM2\n"))
	for _, c := range proof.Check(path, proof.Limits{Loose: true, Strokes: -1, SafeHeight: 5, SafePress: 5}) {
		if !c.OK {
			fmt.Printf("%s: %s; allowed %s\n", c.Name, c.Found, c.Allowed)
		}
	}
	// Output:
	// never below the safe press: lowest Z -5.010 at line 4, and 2 more; allowed Z -5.000
}

// The mark of a program on what was drawn: a bar of 2 mm with round ends.
func ExampleCompare() {
	path, _ := proof.Read("bar.nc", []byte("G21 G90 G94\nG0 Z5\nG0 X20 Y30\nG1 Z-2 F300\nX60\nG0 Z5\nM2\n"))
	brush, _ := proof.NewBrush([]proof.Rung{{Press: 0, Width: 0.4}, {Press: 2, Width: 2}})
	cover, _ := proof.Compare(path, proof.Comparison{
		Brush: brush,
		Drawn: []proof.Region{{Rings: [][]proof.Vertex{{{X: 20, Y: 29}, {X: 60, Y: 29}, {X: 60, Y: 31}, {X: 20, Y: 31}}}}},
	})
	fmt.Printf("covered %.1f %%, spilled %.2f mm²\n", 100*cover.Coverage, cover.Spill)
	// Output:
	// covered 100.0 %, spilled 3.14 mm²
}
