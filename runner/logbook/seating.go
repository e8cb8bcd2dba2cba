package logbook

import (
	"html/template"
	"math"
	"slices"

	"mahlstick/recipe/format"
	"mahlstick/runner/vector"
)

// Seating is where the sheet lies for some layers, by readings of its marks.
type Seating struct {
	Since  string   // what is painted first on the sheet as it lies, such as "layer slate"
	Layers []string // for which it holds
	Text   string   // how the sheet lies, in sentences
	Misfit float64
	Marks  []SeatedMark
	// Places are the corners of the sheet and the worst place of the picture, with
	// the doubt of their place; the picture's is the last.
	Places []Doubt
}

// SeatedMark is a mark as read: its place on the sheet, and how far it was found
// from where the fit puts it, in mm along the sheet's own x and y.
type SeatedMark struct {
	Name     string
	X, Y     float64
	Readings int
	DX, DY   float64
}

// Off is the length of the error.
func (m SeatedMark) Off() float64 { return math.Sqrt(float64(m.DX*m.DX) + float64(m.DY*m.DY)) }

// Doubt is the standard uncertainty of a place of the sheet, mm.
type Doubt struct {
	Where string
	X, Y  float64
	U     float64
}

// Marking is the program that carries a tip over the register marks, and what is
// expected there.
type Marking struct {
	Program Program
	Marks   []ExpectedMark
	Rows    string // of Seating, ready to paste
}

// GoesOn is a program that goes on with a layer where the sheet was moved.
type GoesOn struct {
	Program  Program
	From, To int    // strokes
	Lies     string // how the sheet lies
	Row      string // of Results
}

// ExpectedMark is a mark with the position of the axes at which its tip is
// expected to be over it.
type ExpectedMark struct {
	Name string
	X, Y float64
}

// Register is how well two layers are expected to register.
type Register struct {
	A, B     string
	Promised float64 // mm, in 95 of 100 cases
	X, Y     float64 // the worst place of what both paint
	Parts    []RegisterPart
}

// RegisterPart is one cause, as a standard uncertainty in mm.
type RegisterPart struct {
	Cause   string
	U       float64
	Assumed bool
}

// errorScale is how many times too large errors and doubts are drawn.
const errorScale = 100

// seated draws the sheet with its marks, their errors as lines, and the doubt at
// each place as a disc, both many times too large.
func seated(p *Page, s Seating) template.HTML {
	b := &svg{height: p.Sheet.Height}
	pad := float64(0.06 * math.Max(p.Sheet.Width, p.Sheet.Height))
	b.WriteString(`<svg class="bed" viewBox="` + mm(-pad) + " " + mm(-pad) + " " + mm(p.Sheet.Width+2*pad) + " " + mm(p.Sheet.Height+2*pad) + `" role="img"><title>Errors of the marks and doubt of places, drawn ` + format.Page.Number(errorScale, 0) + ` times too large</title>`)
	b.paper(p.Sheet)
	for _, d := range s.Places {
		b.WriteString(`<circle class="doubt" r="` + mm(errorScale*d.U) + `" cx="` + mm(d.X) + `" cy="` + mm(b.height-d.Y) + `"/>`)
	}
	for _, m := range s.Marks {
		b.WriteString(`<path class="error" d="M`)
		b.at(vector.XY{X: m.X, Y: m.Y})
		b.WriteString("L")
		b.at(vector.XY{X: m.X + float64(errorScale*m.DX), Y: m.Y + float64(errorScale*m.DY)})
		b.WriteString(`"/><circle class="head" r="` + mm(pad/12) + `" cx="` + mm(m.X) + `" cy="` + mm(b.height-m.Y) + `"/>`)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// ByItself is the last stroke that the layer's own program paints.
func (l Layer) ByItself() int {
	if len(l.GoesOn) > 0 {
		return l.GoesOn[0].From - 1
	}
	return len(l.Brushstrokes)
}

// Marked reports whether there are programs that carry the tip over the marks.
func (p *Page) Marked() bool {
	return slices.ContainsFunc(p.Layers, func(l Layer) bool { return l.Marking != nil })
}
