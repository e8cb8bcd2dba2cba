// Package meaning says what the strokes of a scanned painting mean for the brush, the
// touching off and the place of the sheet, each with its doubt, and gives the rows of
// the recipe that would have met it. It changes nothing: what is pasted is text.
package meaning

import (
	"math"

	"mahlstick/recipe/brush"
	"mahlstick/runner/scan/along"
	"mahlstick/runner/vector"
)

// Layer is how a layer was planned. Lengths are in mm.
type Layer struct {
	Name  string
	Brush int // which of the brushes
	// Frame says that its marks decide where the scan lies, so that its own place
	// cannot be off.
	Frame bool
	// Seated says that the sheet was laid anew before it.
	Seated bool
	// Turned are the quarter turns counter-clockwise by which the sheet lies on the bed:
	// places are those of the sheet, tip offsets those of the machine.
	Turned int
	// Curve is that of the brush at the feed of the layer.
	Curve *brush.Curve
	// Loads are the strokes before which the brush was loaded.
	Loads []int
}

// Brush is a brush as its notebook states it. Lengths are in mm.
type Brush struct {
	Name                  string // as the heading has it
	Touch                 float64
	Rows                  []Row // of its Swatch; none if that is not a table
	WidestMark, TouchMark float64
	SafePress             float64
	Lag                   brush.Lag
	Play                  float64
	TipX, TipY            float64
	Curve                 *brush.Curve // as the rows make it
}

// Row is a row of a Swatch.
type Row struct {
	Press, Width float64
	U            float64 // standard uncertainty of the width; 0 if it is not stated
}

// Kind is what can be off.
type Kind int8

// The kinds, a closed list, in the order in which they are told.
const (
	Touch   Kind = iota // touched off too deep, mm
	Slope               // width by press, more than the table, mm a mm
	Bend                // the same, changing with the press, mm a mm²
	Wear                // marks get wider, share a metre painted
	Lag                 // the mark trails more than stated, mm at the deepest press
	Play                // more than stated, mm
	ShiftX              // the layer lies too far to the right, mm
	ShiftY              // too far up, mm
	Turn                // counter-clockwise, radians
	GrowthX             // share by which the layer is larger along X
	GrowthY
)

// of the layer are Touch and those from ShiftX on; the others are of the brush.
func (k Kind) ofLayer() bool { return k == Touch || k >= ShiftX }

// prior is how large an effect can be at most, roughly, as a standard deviation in its
// own unit: what is not told by the sheet is not believed to be larger.
func (k Kind) prior() float64 {
	return [...]float64{0.5, 0.3, 0.1, 0.3, 1, 0.3, 1, 1, 0.03, 0.02, 0.02}[k]
}

// systematic is the standard uncertainty of an effect that no scatter of the widths
// shows, in its own unit: of where the edge is taken to be, of the grid of the scan, of
// how the scan was laid on the sheet. Found with simulated scans at 300 dpi.
func (k Kind) systematic() float64 {
	return [...]float64{0.01, 0.002, 0.001, 0.002, 0.015, 0.008, 0.01, 0.01, 0.0001, 0.00005, 0.00005}[k]
}

// systematicWidth is the same of the change of a width, in mm.
const systematicWidth = 0.004

// Effect is something that is off, in the unit of its kind.
type Effect struct {
	Kind     Kind
	Of       int // the layer or the brush
	Value, U float64
	// Told says that the sheet says anything about it.
	Told bool
	// Alike are effects from which the sheet cannot tell it apart.
	Alike []Kind
}

// Beyond is by how many standard uncertainties a measured effect has to differ from 0
// to be used: below that, correcting errs more than not correcting.
const Beyond = math.Sqrt2

// usable reports whether the sheet tells it, apart from all others.
func (e Effect) usable() bool { return e.Told && len(e.Alike) == 0 }

// Counts reports whether it is to be used.
func (e Effect) Counts() bool {
	return e.usable() && math.Abs(e.Value) > Beyond*e.U
}

// Fade is where the ink of a layer began to fade.
type Fade struct {
	Layer, Stroke int
	Way           float64 // mm in the stroke
	Area, Length  float64 // painted since the brush was loaded, mm², mm
}

// Result is what a sheet means.
type Result struct {
	Layers  []Layer
	Brushes []Brush
	Effects []Effect
	Fades   []Fade
	Places  int // widths that counted
	// Before is the root mean square of the widths' errors on this sheet, and After
	// what it would have been with the corrected rows, in mm.
	Before, After float64
	Corrections   []Correction // by brush
	deepest       []float64    // press by brush that was seen
	lightest      []float64
	centre        map[int]vector.XY // by layer: the point about which it turns and grows
}

// Moved is how far what was asked for at a place of a layer lies from it on this
// sheet, in mm, by the effects that count; false if none does.
func (r *Result) Moved(layer int, at vector.XY) (vector.XY, bool) {
	var out vector.XY
	some := false
	from := at.Minus(r.centre[layer])
	for k := ShiftX; k <= GrowthY; k++ {
		e, known := r.Effect(k, layer)
		if !known || !e.Counts() {
			continue
		}
		some = true
		switch v := e.Value; k {
		case ShiftX:
			out.X += v
		case ShiftY:
			out.Y += v
		case Turn:
			out = out.Plus(from.Left().Times(v))
		case GrowthX:
			out.X += float64(v * from.X)
		case GrowthY:
			out.Y += float64(v * from.Y)
		}
	}
	return out, some
}

// OnBed turns a way on the sheet to that on the bed.
func (l Layer) OnBed(way vector.XY) vector.XY {
	for range l.Turned {
		way = way.Left()
	}
	return way
}

// Effect is that of a kind and a layer or a brush; false if the sheet has none.
func (r *Result) Effect(kind Kind, of int) (Effect, bool) {
	for _, e := range r.Effects {
		if e.Kind == kind && e.Of == of {
			return e, true
		}
	}
	return Effect{}, false
}

// touchOf is the doubt of touching off the brush of a layer.
func (r *Result) touchOf(e Effect) float64 {
	if !e.Kind.ofLayer() {
		return 0
	}
	return r.Brushes[r.Layers[e.Of].Brush].Touch
}

// Of says what a measured sheet means. Layer k of the measured places is layers[k].
func Of(measured *along.Result, layers []Layer, brushes []Brush) *Result {
	r := &Result{Layers: layers, Brushes: brushes, deepest: make([]float64, len(brushes)), lightest: make([]float64, len(brushes))}
	for i := range r.lightest {
		r.lightest[i] = math.Inf(1)
	}
	r.Fades = fades(measured, layers)
	f := newFitting(r, measured)
	f.run()
	r.centre = f.x.centre
	r.correct(f)
	return r
}

// Deepest is the deepest press of a brush that was seen, in mm.
func (r *Result) Deepest(b int) float64 { return r.deepest[b] }
