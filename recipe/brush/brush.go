// Package brush turns measured marks into a curve of press and width.
package brush

// Rung is one measured mark of a swatch: pressed so far (mm below the first
// touch), the mark was so wide (mm), to within a standard uncertainty (mm).
type Rung struct{ Press, Width, UWidth float64 }

// Curve gives the width (mm) for a press (mm) and back. Both only rise.
type Curve struct {
	press, width []float64 // the rungs after the fit, both strictly rising
	slope        []float64 // d width / d press at each
}
