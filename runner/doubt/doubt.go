// Package doubt carries the doubt about a brush and a machine on to the strokes:
// by how much a width may be off, how likely a stroke misses the paper or presses
// too deep, and what would help most.
//
// Uncertainties are joined by the law of propagation (JCGM 100:2008, 5.1.2): each
// is multiplied by how much the width changes with it, and the squares are added.
// Lengths are in mm.
package doubt

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Source is where a doubt comes from.
type Source int8

// The sources. The curve's doubt is that of its readings and of the touch that its
// presses count from.
const (
	Touch Source = iota
	Bed
	Curve
	Play
	Feed
	sources
)

func (s Source) String() string {
	return [...]string{"touching off", "the height of the bed", "the curve of the brush", "its play", "how its marks spread"}[s]
}

// Parts are the standard uncertainties of a width by their sources.
type Parts [sources]float64

// U is the standard uncertainty of all parts together.
func (p Parts) U() float64 {
	squares := 0.0
	for _, u := range p {
		squares += float64(u * u)
	}
	return math.Sqrt(squares)
}

// Most is the largest part, and U without it.
func (p Parts) Most() (most Source, without float64) {
	for s := range sources {
		if p[s] > p[most] {
			most = s
		}
	}
	rest := p
	rest[most] = 0
	return most, rest.U()
}

// Stroke is the doubt of one stroke.
type Stroke struct {
	Number int // in the program
	At     plane.Point
	Width  float64 // drawn, where the doubt is greatest beside it
	Parts  Parts   // there
	// Missing is the chance that half of its way or more misses the paper, Deeper
	// that it is pressed deeper than the safe press.
	Missing, Deeper float64
}

// Off is the expected error of the width as a share of it.
func (s *Stroke) Off() float64 { return s.Parts.U() / max(s.Width, math.SmallestNonzeroFloat64) }

// Layer is the doubt of a layer.
type Layer struct {
	// Height is the standard uncertainty of the press: touching off, and the bed,
	// which is anywhere in a band (JCGM 100:2008, 4.3.7).
	Height float64
	// Widest is the greatest width of which 95 of 100 strokes are pressed no deeper
	// than the safe press.
	Widest  float64
	Strokes []Stroke // the most doubtful first
}

// oneSided95 is the 95 % point of the normal distribution.
const oneSided95 = 1.644854

// Of finds the doubt of a layer's strokes in the order of painting; number is that
// of the first in the program.
func Of(gestures []stroke.Gesture, b *model.Brush, bed float64) Layer {
	d := doubts{brush: b, bed: bed / math.Sqrt(3)}
	l := Layer{Height: math.Sqrt(float64(b.Touch*b.Touch) + float64(d.bed*d.bed))}
	deep := math.Sqrt(float64(l.Height*l.Height) + float64(b.SafeU*b.SafeU))
	safe := b.Curve.SafePress()
	l.Widest, _ = b.Curve.WidthAt(max(safe-float64(oneSided95*deep), 0))
	number := 0
	for _, g := range gestures {
		if len(g.Points) == 0 {
			continue
		}
		if number++; !g.Kind.OfPicture() {
			continue
		}
		s := d.stroke(g)
		s.Number = number
		s.Missing = beyond(middle(g.Points), l.Height)
		s.Deeper = beyond(b.SafePress-deepest(g.Points), deep)
		l.Strokes = append(l.Strokes, s)
	}
	slices.SortStableFunc(l.Strokes, func(a, b Stroke) int {
		return cmp.Or(cmp.Compare(risk(b), risk(a)), cmp.Compare(b.Off(), a.Off()))
	})
	return l
}

// risk is the chance of missing or of pressing too deep, in hundredths.
func risk(s Stroke) float64 { return math.Round(max(s.Missing, s.Deeper) * 100) }

// beyond is the chance that a normal error of a standard deviation u is more than
// some distance.
func beyond(distance, u float64) float64 {
	switch {
	case u > 0:
		return Above(distance / u)
	case distance > 0:
		return 0
	}
	return 0.5
}

// Above is the share of the normal distribution above a value: by M. Abramowitz
// and I. A. Stegun, Handbook of Mathematical Functions (1964), 26.2.17, to 7.5e-8.
func Above(z float64) float64 {
	t := 1 / (1 + float64(0.2316419*math.Abs(z)))
	sum := 0.0
	for _, b := range [...]float64{1.330274429, -1.821255978, 1.781477937, -0.356563782, 0.319381530} {
		sum = float64((sum + b) * t)
	}
	density := arith.Exp(-float64(z*z)/2) / math.Sqrt(2*arith.Pi)
	tail := min(float64(density*sum), 0.5)
	if z < 0 {
		return 1 - tail
	}
	return tail
}

// doubts finds the doubt of widths of one brush.
type doubts struct {
	brush *model.Brush
	bed   float64
}

// stroke finds where a stroke's width is most doubtful beside itself.
func (d doubts) stroke(g stroke.Gesture) Stroke {
	var out Stroke
	for i, p := range g.Points {
		lifting := i > 0 && g.Points[i-1].Press > p.Press
		s := Stroke{At: p.Plane(), Width: p.Width, Parts: d.Parts(p.Press, lifting)}
		if i == 0 || s.Off() > out.Off() {
			out = s
		}
	}
	return out
}

// Parts are the doubts of the width at a press that is reached from below, or by
// lifting.
func (d doubts) Parts(press float64, lifting bool) (p Parts) {
	b := d.brush
	press = min(max(press, 0), b.Curve.SafePress())
	slope, err := b.Curve.Slope(press)
	if err != nil {
		return p
	}
	p[Touch], p[Bed] = float64(slope*b.Touch), float64(slope*d.bed)
	p[Curve], _ = b.Curve.U(press)
	m := b.Measured
	if m == nil {
		return p
	}
	if lifting && m.Play.Known() {
		play := m.Play.U
		if b.Play == 0 { // it is left, and may be as large as measured
			play = math.Sqrt(float64(play*play) + float64(m.Play.Value*m.Play.Value))
		}
		p[Play] = float64(slope * play)
	}
	if s := b.Spreading; s != nil {
		measured, _ := s.Curve.WidthAt(press)
		more, less := s.Spread, s.Spread
		more.Root.Value += s.Root.U
		less.Root.Value -= s.Root.U
		painted := s.Feeding.Of(press, s.Painted)
		p[Feed] = math.Abs(more.At(measured, s.Feed, painted)-less.At(measured, s.Feed, painted)) / 2
	}
	return p
}

// middle is the press that is exceeded on half of a stroke's way.
func middle(points []stroke.Point) float64 {
	type part struct{ press, way float64 }
	var parts []part
	all := 0.0
	for i := 1; i < len(points); i++ {
		way := plane.Distance(points[i-1].Plane(), points[i].Plane()) / plane.PerMM
		parts = append(parts, part{(points[i-1].Press + points[i].Press) / 2, way})
		all += way
	}
	if all == 0 {
		return deepest(points)
	}
	slices.SortStableFunc(parts, func(a, b part) int { return cmp.Compare(a.press, b.press) })
	sum := 0.0
	for _, p := range parts {
		if sum += p.way; sum >= all/2 {
			return p.press
		}
	}
	return parts[len(parts)-1].press
}

func deepest(points []stroke.Point) float64 {
	most := points[0].Press
	for _, p := range points {
		most = max(most, p.Press)
	}
	return most
}
