package intake

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/register"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

const (
	// fitSlack (mm) is how far past a margin what is painted may reach: it is less
	// than half a step of the grid.
	fitSlack = 0.0002
	// mostReadings bounds how often a drawing is read to fit it. At each size, curves
	// are other chords.
	mostReadings = 4
	// linePlaces is at how many places the width of a line is worked out by formula,
	// besides its corners.
	linePlaces = 64
)

// part is a part of a drawing that is to lie between the margins.
type part struct {
	box   vector.Box // in units of the drawing
	reach float64    // mm that it reaches beyond the box at any size
}

// parts are the parts of a drawing, one for each reach.
type parts struct {
	list    []part
	byReach map[float64]int // place in the list
}

func (p *parts) add(box vector.Box, reach float64) {
	if i, ok := p.byReach[reach]; ok {
		p.list[i].box = p.list[i].box.Union(box)
		return
	}
	if p.byReach == nil {
		p.byReach = map[float64]int{}
	}
	p.byReach[reach] = len(p.list)
	p.list = append(p.list, part{box, reach})
}

// sizeBetween works out the size of a drawing that goes to the margins, and its
// place: one for all layers that ask for it, so that they meet. The page or, in a
// file without one, all that is drawn lies between the margins with the widest
// allowance of these layers, and so does all that any of them paints, with its
// widths.
func sizeBetween(file *reading, job *model.Job) (sizing, problem.List) {
	var layers []*model.Layer
	allowance := 0.0
	for i := range job.Layers {
		if m := &job.Layers[i]; m.Drawing == file.file.Name && m.DrawnSize.By == model.ToMargins {
			layers = append(layers, m)
			allowance = max(allowance, m.Brush.AtMargin())
		}
	}
	if len(layers) == 0 {
		return sizing{}, nil
	}
	options := optionsOf(layers[0], job)
	options.Measure, options.Anywhere, options.Layer, options.KeepLayers = true, true, "", nil
	options.Unit = model.Unit{Name: "mm", MM: 1, Override: true}
	d, found := file.again(options)
	if found.HasErrors() {
		return sizing{}, found
	}
	for i := range d.Contours {
		d.Contours[i].Widths = nil // counted where they are painted
	}
	whole := part{extentOf(d), allowance}
	size := fitBetween([]part{whole}, &job.Sheet)
	for range mostReadings {
		if faults := checkSize(size, whole.box, layers[0]); faults.HasErrors() {
			return size, append(found, faults...)
		}
		all := parts{list: []part{whole}, byReach: map[float64]int{whole.reach: 0}}
		for _, m := range layers {
			all.paint(file, m, job, size)
		}
		if size.holds(all.list, &job.Sheet) {
			break
		}
		size = fitBetween(all.list, &job.Sheet)
	}
	return size, append(found, checkSize(size, whole.box, layers[0])...)
}

// paint adds what a layer paints of a drawing of about this size. What cannot be
// read is reported where the layer is placed.
func (p *parts) paint(file *reading, m *model.Layer, job *model.Job, size sizing) {
	options := optionsOf(m, job)
	options.Unit = model.Unit{Name: "mm", MM: size.mm, Override: true}
	d, found := file.again(options)
	if found.HasErrors() {
		return
	}
	ruleOutlines(m, d)
	for _, c := range register.PaintedAt(d, m, &job.Sheet, size.zero) {
		if c.Closed && c.Widths == nil && (m.Outlines != model.AsLines || c.Filled) {
			p.add(vector.Bounds(size.inUnits(c.Exact)), m.Brush.AtMargin())
			continue
		}
		p.line(c, m, size)
	}
}

// line adds a line. With its width in the drawing it has a size in units of the
// drawing, but no mark is narrower than the lightest; a width that the layer
// gives is the same at any size.
func (p *parts) line(c register.Painted, m *model.Layer, size sizing) {
	points := size.inUnits(c.Exact)
	least := m.Brush.AtMargin()
	if m.Width == nil {
		box := vector.Empty()
		for i, q := range points {
			half := 0.0
			if i < len(c.Widths) {
				half = c.Widths[i] / 2 / size.mm
			}
			box.AddDisc(q, half)
		}
		p.add(box, 0)
		p.add(vector.Bounds(points), least)
		return
	}
	onSheet := c.Points
	if c.Closed {
		points, onSheet = append(points, points[0]), append(onSheet, onSheet[0])
	}
	length := 0.0
	for i := range points[1:] {
		length += float64(vector.Distance(points[i], points[i+1]) * size.mm)
	}
	bend, from := stroke.Bends(onSheet), 0.0
	for i := range points[1:] {
		side := float64(vector.Distance(points[i], points[i+1]) * size.mm)
		n := math.Ceil(linePlaces*(side/length)) + 1
		for k := 0.0; k <= n && side > 0; k++ {
			share := k / n
			at := from + float64(share*side)
			width, err := m.Width.WidthAt(c.Shape, min(at/length, 1), at, length, bend(at))
			if err != nil || !(width > 0) {
				width = 0
			}
			q := points[i].Toward(points[i+1], share)
			p.add(vector.Box{Min: q, Max: q}, max(width/2, least))
		}
		from += side
	}
}

// inUnits are points on the sheet in units of the drawing.
func (s sizing) inUnits(points []vector.XY) []vector.XY {
	out := make([]vector.XY, len(points))
	for i, q := range points {
		out[i] = vector.XY{X: (q.X - s.zero.X) / s.mm, Y: (q.Y - s.zero.Y) / s.mm}
	}
	return out
}

// span is what a part takes of one axis.
type span struct{ low, high, reach float64 }

func spans(list []part) (x, y []span) {
	for _, p := range list {
		x = append(x, span{p.box.Min.X, p.box.Max.X, p.reach})
		y = append(y, span{p.box.Min.Y, p.box.Max.Y, p.reach})
	}
	return x, y
}

// outermost are the spans that reach lowest and highest at a scale.
func outermost(list []span, mm float64) (lowest, highest span) {
	lowest, highest = list[0], list[0]
	for _, s := range list[1:] {
		if float64(s.low*mm)-s.reach < float64(lowest.low*mm)-lowest.reach {
			lowest = s
		}
		if float64(s.high*mm)+s.reach > float64(highest.high*mm)+highest.reach {
			highest = s
		}
	}
	return lowest, highest
}

// fitBetween is the largest size at which parts lie between the margins of the
// sheet, in the middle of the room that they leave.
func fitBetween(list []part, sheet *model.Sheet) sizing {
	x, y := spans(list)
	out := sizing{mm: min(largest(x, sheet.Width-2*sheet.Margin), largest(y, sheet.Height-2*sheet.Margin))}
	out.zero = vector.XY{X: middle(x, out.mm, sheet.Margin, sheet.Width), Y: middle(y, out.mm, sheet.Margin, sheet.Height)}
	return out
}

// largest is the largest scale at which spans find room. What they take is a
// convex function of the scale, of straight pieces, so Newton's method comes
// down to it in a few steps from the scale that they would have without their
// reaches.
func largest(list []span, room float64) float64 {
	all := list[0]
	for _, s := range list[1:] {
		all.low, all.high = min(all.low, s.low), max(all.high, s.high)
	}
	mm := room / (all.high - all.low)
	for range 100 {
		lowest, highest := outermost(list, mm)
		next := (room - lowest.reach - highest.reach) / (highest.high - lowest.low)
		if !(next < mm) {
			break
		}
		mm = next
	}
	return mm
}

// middle is the place of zero on a side of the sheet at which spans leave as much
// room on the left as on the right.
func middle(list []span, mm, margin, side float64) float64 {
	lowest, highest := outermost(list, mm)
	least := margin + lowest.reach - float64(lowest.low*mm)
	most := side - margin - highest.reach - float64(highest.high*mm)
	return (least + most) / 2
}

// holds reports whether parts lie between the margins at this size and place.
func (s sizing) holds(list []part, sheet *model.Sheet) bool {
	in := func(list []span, zero, side float64) bool {
		lowest, highest := outermost(list, s.mm)
		return zero+float64(lowest.low*s.mm)-lowest.reach >= sheet.Margin-fitSlack &&
			zero+float64(highest.high*s.mm)+highest.reach <= side-sheet.Margin+fitSlack
	}
	x, y := spans(list)
	return in(x, s.zero.X, sheet.Width) && in(y, s.zero.Y, sheet.Height)
}
