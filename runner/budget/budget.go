// Package budget works out how well two layers of a job can be expected to
// register: from the doubt of where the sheet lies, of the tips of the brushes, of
// what is not known of the sheet's growth, and of the widths of the marks.
//
// Lengths are in mm; all are standard uncertainties. Parts are independent, so
// their squares are added (JCGM 100:2008, 5.1.2).
package budget

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/recipe/seating"
)

// What is assumed where nothing was measured. Common practice, no source.
const (
	unknownTip   = 0.3   // mm: a tip whose offset was not measured
	statedTip    = 0.05  // mm: a tip offset without ±
	unseenGrowth = 0.002 // of a sheet that was put back, if its marks tell nothing of growth
	unevenGrowth = 0.001 // along one side more than along the other, if they tell only of even growth
)

// Layer is what a layer paints.
type Layer struct {
	*model.Layer
	MinX, MinY, MaxX, MaxY float64 // of the picture, on the sheet
	Press                  float64 // the deepest
}

// Part is one cause of misregister.
type Part struct {
	Cause   string
	U       float64
	Assumed bool // nothing was measured of it
}

// Register is how well two layers register at the worst place of both.
type Register struct {
	A, B  string
	X, Y  float64 // the place on the sheet
	Parts []Part
}

// U is the standard uncertainty of all parts together.
func (r Register) U() float64 {
	sum := 0.0
	for _, p := range r.Parts {
		sum += float64(p.U * p.U)
	}
	return math.Sqrt(sum)
}

// Promised is how far an edge of the one layer may be from that of the other in 95
// of 100 cases: twice U.
func (r Register) Promised() float64 { return 2 * r.U() }

// Between is the register of two layers at the corner of what both paint where it
// is worst.
func Between(job *model.Job, a, b *Layer) Register {
	minX, maxX := max(a.MinX, b.MinX), min(a.MaxX, b.MaxX)
	minY, maxY := max(a.MinY, b.MinY), min(a.MaxY, b.MaxY)
	if minX > maxX || minY > maxY { // nothing is painted by both
		minX, maxX, minY, maxY = min(a.MinX, b.MinX), max(a.MaxX, b.MaxX), min(a.MinY, b.MinY), max(a.MaxY, b.MaxY)
	}
	var worst Register
	for _, at := range [...][2]float64{{minX, minY}, {maxX, minY}, {minX, maxY}, {maxX, maxY}} {
		for _, one := range asItLay(a) {
			for _, other := range asItLay(b) {
				if r := betweenAt(job, one, other, at[0], at[1]); worst.Parts == nil || r.U() > worst.U() {
					worst = r
				}
			}
		}
	}
	return worst
}

func betweenAt(job *model.Job, a, b *Layer, x, y float64) Register {
	return Register{A: a.Name, B: b.Name, X: x, Y: y, Parts: []Part{
		seatPart(job, a, b, x, y), tipPart(job, a, b), growthPart(job, a, b, x, y), widthPart(job, a, b)}}
}

// asItLay is a layer once for each way in which the sheet lay while it was painted.
func asItLay(l *Layer) []*Layer {
	out := []*Layer{l}
	for _, s := range l.Moves {
		lay, layer := *l, *l.Layer
		layer.Seating = s
		lay.Layer = &layer
		out = append(out, &lay)
	}
	return out
}

// seatPart is the doubt of where the sheet lies. Two layers on a sheet that was not
// moved between them share it.
func seatPart(job *model.Job, a, b *Layer, x, y float64) Part {
	p := Part{Cause: "where the sheet lies"}
	if a.Seating == b.Seating {
		return p
	}
	bedX, bedY := job.Sheet.OnBed(x, y)
	for _, s := range []*model.Seating{a.Seating, b.Seating} {
		if s != nil {
			p.U = math.Sqrt(float64(p.U*p.U) + square(s.Fit.Doubt(bedX, bedY)))
			p.Assumed = p.Assumed || s.Fit.TurnAssumed
		}
	}
	return p
}

func square(v float64) float64 { return float64(v * v) }

// tips is how often the error of the tip of each brush is in the place of a layer
// on the sheet.
type tips map[*model.Brush]float64

// tipsOf follows the errors back. A layer on a sheet at its stops has the error of
// its own brush. The readings of marks have that of the brush they were read with,
// and the marks that of the brush they were painted with.
func tipsOf(job *model.Job, l *model.Layer) tips {
	out := tips{l.Brush: 1}
	s := l.Seating
	if s == nil {
		return out
	}
	if reader := layerOf(job, s.Layer); reader != nil {
		out[reader.Brush]--
	}
	for _, m := range job.Marks {
		if m.Name != s.Readings[0].Mark {
			continue
		}
		if painter := layerOf(job, m.Painted); painter != nil && painter.Seating != s {
			for b, n := range tipsOf(job, painter) {
				out[b] += n
			}
		}
	}
	return out
}

func layerOf(job *model.Job, name string) *model.Layer {
	for i := range job.Layers {
		if job.Layers[i].Name == name {
			return &job.Layers[i]
		}
	}
	return nil
}

// tipPart is the doubt of where the tips of the brushes are.
func tipPart(job *model.Job, a, b *Layer) Part {
	p := Part{Cause: "tips of the brushes"}
	left, right := tipsOf(job, a.Layer), tipsOf(job, b.Layer)
	sum := 0.0
	for _, brush := range job.Brushes { // in a fixed order
		n := left[brush] - right[brush]
		if n == 0 {
			continue
		}
		u := brush.TipU
		switch {
		case !brush.TipStated:
			u, p.Assumed = unknownTip, true
		case u == 0:
			u = statedTip
		}
		sum += square(n * u)
	}
	p.U = math.Sqrt(sum)
	return p
}

// growthPart is what is not known of the growth of the sheet between two layers, at
// a place.
func growthPart(job *model.Job, a, b *Layer, x, y float64) Part {
	p := Part{Cause: "growth that was not measured"}
	if a.Seating == b.Seating {
		return p
	}
	bedX, bedY := job.Sheet.OnBed(x, y)
	for _, s := range []*model.Seating{a.Seating, b.Seating} {
		if s == nil {
			continue
		}
		share, assumed := leftOver(job, s)
		d := math.Sqrt(square(bedX-s.Fit.CentreX) + square(bedY-s.Fit.CentreY))
		p.U = math.Sqrt(square(p.U) + square(share*d))
		p.Assumed = p.Assumed || assumed && share > 0
	}
	return p
}

// leftOver is the share by which a sheet may have grown in a way that its fit does
// not have: as its marks tell, or as is assumed where they do not.
func leftOver(job *model.Job, s *model.Seating) (share float64, assumed bool) {
	if s.Fit.Growth == seating.Grain {
		return 0, false
	}
	readings := s.Points(&job.Sheet)
	if seating.Judge(readings, seating.Grain, job.Sheet.Misfit, 0, 0).Fault == seating.Sound {
		f := seating.New(readings, seating.Grain)
		ux, uy := f.GrowthDoubts()
		ox, oy := f.GrowthX-s.Fit.GrowthX, f.GrowthY-s.Fit.GrowthY
		return max(math.Abs(ox), math.Abs(oy), ux, uy), false
	}
	if s.Fit.Growth == seating.Even {
		return unevenGrowth, true
	}
	if seating.Judge(readings, seating.Even, job.Sheet.Misfit, 0, 0).Fault == seating.Sound {
		f := seating.New(readings, seating.Even)
		u, _ := f.GrowthDoubts()
		return math.Sqrt(square(max(math.Abs(f.GrowthX-1), u)) + square(unevenGrowth)), true
	}
	return unseenGrowth, true
}

// widthPart is the doubt of the edges: each is off by half the error of a width.
func widthPart(job *model.Job, a, b *Layer) Part {
	p := Part{Cause: "widths of the marks"}
	for _, l := range []*Layer{a, b} {
		press := min(l.Press, l.Brush.Curve.SafePress())
		u, err := l.Brush.Curve.U(press)
		slope, err2 := l.Brush.Curve.Slope(press)
		if err != nil || err2 != nil {
			continue
		}
		height := float64(square(slope) * (square(l.Brush.Touch) + square(job.Machine.Bed)/3))
		p.U = math.Sqrt(square(p.U) + (square(u)+height)/4)
	}
	return p
}
