package checkstrip

import (
	"fmt"
	"math"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
)

// calipers (mm) is the standard uncertainty of a width of wet ink measured by
// calipers, where a reading states none. Common practice, no source.
const calipers = 0.05

// Strip is the measured check strip of a layer, and what it means.
type Strip struct {
	Layer    string       // "" if unknown
	Brush    *model.Brush // nil if the layer is unknown
	Readings []model.StripReading
	Finding  Finding
	Judged   bool // Finding is known
}

// Judge parts the readings of one impression by layer and decides what each
// strip means.
func Judge(readings []model.StripReading, job *model.Job) []Strip {
	var out []Strip
	for _, q := range readings {
		if n := len(out); n == 0 || out[n-1].Layer != q.Layer {
			out = append(out, Strip{Layer: q.Layer})
		}
		s := &out[len(out)-1]
		s.Readings = append(s.Readings, q)
	}
	for i := range out {
		for k := range job.Layers {
			if l := &job.Layers[k]; l.Name == out[i].Layer {
				out[i].judge(l.Brush)
			}
		}
	}
	return out
}

func (s *Strip) judge(b *model.Brush) {
	s.Brush = b
	var readings []Reading
	for _, q := range s.Readings {
		u := q.U
		if u <= 0 {
			u = calipers
		}
		readings = append(readings, Reading{Asked: q.Asked, Measured: q.Measured, U: u})
	}
	s.Finding, s.Judged = Decide(readings, b.Curve)
}

// Sentence says what the strip means and what to do; "" where its layer is
// unknown.
func (s *Strip) Sentence(n format.Medium) string {
	f := s.Finding
	length := func(v float64) string { return n.Unit(n.Fixed(math.Abs(v), 2), "mm") }
	switch {
	case s.Brush == nil:
		return ""
	case !s.Judged:
		return "The brush as measured now does not make marks as wide as these were asked for: were they made with another brush?"
	case f.Cause == Nothing:
		return fmt.Sprintf("Nothing to do: the marks are as wide as asked, and Z zero is right to %s.", length(2*f.ShiftU))
	case f.Cause == Touch && f.Shift > 0:
		return fmt.Sprintf("The marks are too wide: raise Z zero by %s ± %s, or touch off again (%s sure that it is the touch-off).", length(f.Shift), length(f.ShiftU), sure(n, f.Sure))
	case f.Cause == Touch:
		return fmt.Sprintf("The marks are too thin: lower Z zero by %s ± %s, or touch off again (%s sure that it is the touch-off).", length(f.Shift), length(f.ShiftU), sure(n, f.Sure))
	case f.Cause == Brush:
		return fmt.Sprintf("The brush has changed: its marks are %s of the width asked, in proportion (%s sure). It is worn, spread or short of ink: load it and paint the strip again; if it stays so, measure its swatch again or use the rows below.", n.Share(f.Ratio), sure(n, f.Sure))
	case f.Cause == CannotTell:
		return "Cannot tell whether the touch-off or the brush is wrong. Touch off again and paint the strip again; if the marks stay as they are, it is the brush."
	default:
		return "Measure again: neither a wrong touch-off nor a changed brush makes such widths. One of the marks may have been misread."
	}
}

// sure is a certainty in whole percent, never all of it.
func sure(n format.Medium, p float64) string {
	return n.Unit(fmt.Sprint(int(math.Round(100*min(p, 0.99)))), "%")
}

// Rows are the rows of the brush's swatch with the widths that the strip shows,
// ready to paste; "" unless it is the brush.
func (s *Strip) Rows() string {
	if s.Brush == nil || !s.Judged || s.Finding.Cause != Brush {
		return ""
	}
	var b strings.Builder
	b.WriteString("| press | width |\n|---|---|\n")
	for _, m := range s.Brush.Curve.Marks() {
		fmt.Fprintf(&b, "| %s mm | %s mm |\n", format.Plain.Number(m.Press, 3), format.Plain.Fixed(float64(m.Width*s.Finding.Ratio), 2))
	}
	return b.String()
}
