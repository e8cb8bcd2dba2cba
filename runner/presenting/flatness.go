package presenting

import (
	"fmt"
	"slices"
	"strings"

	"mahlstick/recipe/bed"
	"mahlstick/recipe/model"
	"mahlstick/runner/logbook"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/stage"
)

// flatnessView is what is known of the height of the paper; nil if the recipe
// does not say where brushes are touched off.
func flatnessView(s *model.Sheet) *logbook.Flatness {
	if !s.TouchOff.Stated {
		return nil
	}
	v := &logbook.Flatness{X: s.TouchOff.X, Y: s.TouchOff.Y}
	if s.Surface == nil {
		return v
	}
	v.Followed, v.Bent, v.Doubt = true, s.Surface.Curved(), s.Surface.GreatestDoubt()
	v.Low, v.High = s.Surface.Range()
	for i, t := range s.Surface.Touches() {
		v.Touches = append(v.Touches, logbook.Touched{X: t.X, Y: t.Y, Height: t.Height, Over: s.Surface.Height(t.X, t.Y), Left: s.Surface.Left(i)})
	}
	return v
}

// unevenView is what the surface would do to the widths of a layer if Z did not
// follow it, and what it still may do; nil without a surface.
func unevenView(l stage.Proven, s *model.Sheet) *logbook.Uneven {
	if s.Surface == nil {
		return nil
	}
	u := unevenness{surface: s.Surface, brush: l.Model.Brush}
	for _, marks := range l.Marks {
		for _, k := range marks {
			x, y := motion.AsLaid(plane.At(k.X, k.Y), s, l.Lie).MM()
			u.add(x, y, k.Width)
		}
	}
	if u.n == 0 {
		return nil
	}
	return &logbook.Uneven{Low: u.low, High: u.high, Narrower: u.narrower, Wider: u.wider, Missed: float64(u.missed) / float64(u.n), Left: u.left}
}

// unevenness is gathered over the marks of a layer.
type unevenness struct {
	surface         *bed.Surface
	brush           *model.Brush
	n, missed       int
	low, high       float64 // of the paper, mm
	narrower, wider float64 // of the marks, without following, mm
	left            float64 // half of the band of their widths, with following, mm
}

// leftTimes is how many standard uncertainties are half of a band that holds 95
// of 100 values of a normal distribution (JCGM 100:2008, G.6.6).
const leftTimes = 2

func (u *unevenness) add(x, y, width float64) {
	press, err := u.brush.Curve.PressFor(width)
	if err != nil {
		return
	}
	h := u.surface.Height(x, y)
	if u.n == 0 {
		u.low, u.high = h, h
	}
	u.n++
	u.low, u.high = min(u.low, h), max(u.high, h)
	if press+h < 0 {
		u.missed++
	} else if would, err := u.brush.Curve.WidthAt(min(press+h, u.brush.Curve.SafePress())); err == nil {
		u.narrower, u.wider = max(u.narrower, width-would), max(u.wider, would-width)
	}
	if slope, err := u.brush.Curve.Slope(press); err == nil {
		u.left = max(u.left, float64(leftTimes*float64(slope*u.surface.Doubt(x, y))))
	}
}

// HeightsProgram is a program that carries the tip of the first brush over places
// at which to touch the height of the paper.
type HeightsProgram struct {
	Places []model.Mark
	MarksProgram
}

// Stops are the places that the machine reaches.
func (h *HeightsProgram) Stops() []model.Mark {
	return slices.DeleteFunc(slices.Clone(h.Places), func(m model.Mark) bool {
		return !slices.ContainsFunc(h.Tour.Stops, func(s motion.TourStop) bool { return s.Mark == m.Name })
	})
}

// heightsView is that program with the rows of Flatness that its readings go into.
func heightsView(h *HeightsProgram) *logbook.Marking {
	if h == nil {
		return nil
	}
	v := &logbook.Marking{Program: h.view()}
	var b strings.Builder
	b.WriteString("| x | y | height |\n|---|---|---|\n")
	for _, m := range h.Stops() {
		fmt.Fprintf(&b, "| %.1f mm | %.1f mm |  mm |\n", m.X, m.Y)
	}
	for _, stop := range h.Tour.Stops {
		v.Marks = append(v.Marks, logbook.ExpectedMark{Name: stop.Mark, X: plane.MM(stop.At.X), Y: plane.MM(stop.At.Y)})
	}
	v.Rows = b.String()
	return v
}
