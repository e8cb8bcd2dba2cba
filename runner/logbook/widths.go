package logbook

import (
	"cmp"
	"html/template"
	"math"
	"slices"
)

// Widths are the widths of a layer as scans of its sheets had them, the first sheet
// first, and the curve of its brush as the recipe has it now.
type Widths struct {
	Layer, Hex string
	Sheets     []SheetWidths
	Now        []Rung
}

// SheetWidths are the widths of a layer on one sheet.
type SheetWidths struct {
	Name string // its heading under Results
	Dots []WidthDot
}

// WidthDot is a width asked for, the press for it by the brush of then, and the width
// that was measured there with its standard uncertainty; mm.
type WidthDot struct{ Press, Asked, Measured, U float64 }

// Off is by how much it is too wide, in mm.
func (d WidthDot) Off() float64 { return d.Measured - d.Asked }

// Off is the root mean square of how far the widths are off, in mm.
func (s SheetWidths) Off() float64 {
	sum := 0.0
	for _, d := range s.Dots {
		sum += float64(d.Off() * d.Off())
	}
	return math.Sqrt(sum / float64(max(len(s.Dots), 1)))
}

// Worst is by how much the width that is farthest off is off, in mm.
func (s SheetWidths) Worst() float64 {
	worst := 0.0
	for _, d := range s.Dots {
		if math.Abs(d.Off()) > math.Abs(worst) {
			worst = d.Off()
		}
	}
	return worst
}

// tall is the height of a chart whose two axes have the same scale.
const tall = 392

// shapes are the marks of the sheets, each about a place; after the last they begin
// again. The newest sheet is filled, so that it differs from the others on paper too.
var shapes = [...]string{
	"m-3.6 0a3.6 3.6 0 1 0 7.2 0a3.6 3.6 0 1 0 -7.2 0z",
	"m-3.3 -3.3h6.6v6.6h-6.6z",
	"m0 -4.4l4.2 7.2h-8.4z",
	"m0 -4.7l4.7 4.7l-4.7 4.7l-4.7 -4.7z",
	"m0 4.4l4.2 -7.2h-8.4z",
}

// shape is the mark of a sheet about a place.
func (v *Widths) shape(sheet int, x, y string) string {
	class := "dot"
	if sheet == len(v.Sheets)-1 {
		class = "dot last"
	}
	return `<path class="` + class + `" d="M` + x + " " + y + shapes[sheet%len(shapes)] + `"/>`
}

// Key is the mark of a sheet by itself.
func (v *Widths) Key(sheet int) template.HTML {
	return template.HTML(`<svg class="key chart" viewBox="-6 -6 12 12" aria-hidden="true">` + v.shape(sheet, "0", "0") + `</svg>`)
}

// widest is the most that one of the charts has to show.
func (v *Widths) widest(of func(WidthDot) float64) float64 {
	most := 0.0
	for _, s := range v.Sheets {
		for _, d := range s.Dots {
			most = math.Max(most, of(d))
		}
	}
	return most
}

// askedMeasured has the widths measured over those asked for.
func askedMeasured(v *Widths) template.HTML {
	most := v.widest(func(d WidthDot) float64 { return max(d.Asked, d.Measured+2*d.U) })
	f, some := newPlot(tall, most, most)
	if !some {
		return ""
	}
	f.axes("Measured width over the width asked for", "asked, mm", "measured, mm")
	f.WriteString(`<path class="taper" d="M` + f.x(0) + " " + f.y(0) + "L" + f.x(f.maxX) + " " + f.y(f.maxY) + `"/>`)
	f.dots(v, func(d WidthDot) float64 { return d.Asked })
	f.WriteString(`</svg>`)
	return template.HTML(f.String())
}

// pressWidth has the curves of the brush: of each sheet as it was then, and as it is now.
func pressWidth(v *Widths) template.HTML {
	deepest := v.widest(func(d WidthDot) float64 { return d.Press })
	f, some := newPlot(tall, deepest, v.widest(func(d WidthDot) float64 { return max(d.Asked, d.Measured+2*d.U) }))
	if !some {
		return ""
	}
	f.axes("Width of the mark over the press, by the brush of each sheet and of now", "press, mm", "width, mm")
	for _, sheet := range v.Sheets {
		var then []Rung
		for _, d := range sheet.Dots {
			then = append(then, Rung{Press: d.Press, Width: d.Asked})
		}
		slices.SortFunc(then, func(a, b Rung) int { return cmp.Or(cmp.Compare(a.Press, b.Press), cmp.Compare(a.Width, b.Width)) })
		if len(then) > 1 {
			f.line("taper", then)
		}
	}
	if now := within(v.Now, f.maxX, f.maxY); len(now) > 1 {
		f.line("curve", now)
	}
	f.dots(v, func(d WidthDot) float64 { return d.Press })
	f.WriteString(`</svg>`)
	return template.HTML(f.String())
}

// within is the beginning of a curve that a chart has room for.
func within(curve []Rung, press, width float64) []Rung {
	if i := slices.IndexFunc(curve, func(r Rung) bool { return r.Press > press || r.Width > width }); i >= 0 {
		return curve[:i]
	}
	return curve
}

// dots are the measured widths, the newest sheet over the others.
func (f *plot) dots(v *Widths, along func(WidthDot) float64) {
	for i, sheet := range v.Sheets {
		for _, d := range sheet.Dots {
			f.bar(along(d), d.Measured, d.U)
		}
		for _, d := range sheet.Dots {
			f.WriteString(v.shape(i, f.x(along(d)), f.y(d.Measured)))
		}
	}
}
