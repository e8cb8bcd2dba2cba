package along

import (
	"math"
	"slices"

	"mahlstick/runner/vector"
)

const (
	// Spacing is how far it is from place to place, in mm.
	Spacing = 0.5
	faint   = 0.15 // share of full ink below which there is none
	// floorU is the standard uncertainty of an edge that no scatter shows, in pixels:
	// the grid of the scan and its compression.
	floorU = 0.04
	// plateau is the width in pixels from which the middle of a mark is as dark as its
	// ink: with a blur of 0.8 pixels and the samples between pixels, the edges do not
	// reach it.
	plateau = 6.0
)

// findInks looks at wide places for the colour of each layer, and beside them for that
// of paper.
func (m *measurer) findInks() {
	m.inks = map[int]ink{}
	seen := map[int][][3]float64{}
	var paper [][3]float64
	for i, s := range m.strokes {
		w := m.ways[i]
		for at := Spacing; at < w.length()-Spacing; at += 2 * Spacing {
			p, bare, ok := m.inkAt(i, w, at)
			if ok {
				seen[s.Layer] = append(seen[s.Layer], p)
				paper = append(paper, bare...)
			}
		}
	}
	for layer, all := range seen {
		m.inks[layer] = medians(all)
	}
	if len(paper) > 0 {
		m.paper = medians(paper)
	}
}

// medians are those of each colour.
func medians(all [][3]float64) (out [3]float64) {
	values := make([]float64, len(all))
	for k := range out {
		for i := range all {
			values[i] = all[i][k]
		}
		slices.Sort(values)
		out[k] = values[len(values)/2]
	}
	return out
}

// inkAt is how much light the ink takes at a place, and the light of paper beside it if
// no other layer is there; false if it is not wide enough, hidden, or bare.
func (m *measurer) inkAt(stroke int, w way, s float64) (out [3]float64, paper [][3]float64, ok bool) {
	p := w.mark(s)
	u, _ := w.direction(s)
	normal := vector.XY{X: -u.Y, Y: u.X}
	half := p.Width/2 + m.margin()
	if p.Width < plateau*m.pixel {
		return out, nil, false
	}
	covering, free := m.alone(stroke, s, p, normal, half, 1+p.Width/2)
	if !free {
		return out, nil, false
	}
	raw, step, on := m.raw(vector.XY{X: p.X, Y: p.Y}, normal, half)
	if !on {
		return out, nil, false
	}
	left, right := ground(raw, step, beside)
	if len(covering) == 0 {
		paper = [][3]float64{left, right}
	}
	total := 0.0
	for i := len(raw)/2 - 1; i <= len(raw)/2+1; i++ {
		for k := range out {
			out[k] += (1 - 2*raw[i][k]/max(left[k]+right[k], 1e-3)) / 3
		}
	}
	for _, v := range out {
		total += v
	}
	return out, paper, total > 0.1 // 3 % of the light
}

// stroke measures the places of a stroke.
func (m *measurer) stroke(i int) ([]Place, Verdict) {
	s, w := m.strokes[i], m.ways[i]
	v := Verdict{Layer: s.Layer, Stroke: s.Number}
	var out []Place
	double, looked := 0, 0
	n := max(1, int(w.length()/Spacing))
	for k := range n {
		at := w.length() * (float64(k) + 0.5) / float64(n)
		p, twice := m.place(i, at)
		out = append(out, p)
		if p.State == Measured {
			v.Measured++
			looked++
			if twice {
				double++
			}
		}
	}
	v.Places = len(out)
	v.judge(out, s.Sure)
	v.Doubled = looked >= 3 && 2*double > looked
	return out, v
}

// judge finds what is missing of a stroke that is surely painted from a width on.
func (v *Verdict) judge(places []Place, sure float64) {
	readable, bare := 0, 0
	for _, p := range places {
		switch p.State {
		case Measured:
			readable++
		case Bare:
			readable, bare = readable+1, bare+1
		}
	}
	if bare > 0 && 5*bare >= 4*readable {
		v.Missing = true
		return
	}
	lacks := func(p Place) bool { return p.State == Bare && p.Asked >= sure }
	for i := 0; i < len(places); i++ {
		end := i
		for end < len(places) && lacks(places[end]) {
			end++
		}
		if end-i >= 2 {
			v.Gaps = append(v.Gaps, Gap{places[i].Way, places[end-1].Way})
		}
		i = max(i, end-1)
	}
}

// place measures a place, and reports whether ink lies there twice.
func (m *measurer) place(i int, s float64) (Place, bool) {
	w, stroke := m.ways[i], m.strokes[i]
	p := w.mark(s)
	u, rise := w.direction(s)
	out := Place{Layer: stroke.Layer, Stroke: stroke.Number, Way: s, At: vector.XY{X: p.X, Y: p.Y}, Along: u, Asked: p.Width, Rise: rise, State: Hidden}
	normal := vector.XY{X: -u.Y, Y: u.X}
	half, own := p.Width/2+m.margin(), 1+p.Width/2
	if !m.steady(w, s, own) {
		out.State = Turning
		return out, false
	}
	covering, free := m.alone(i, s, p, normal, half, own)
	if !free {
		return out, false
	}
	_, known := m.inks[stroke.Layer]
	if !known {
		out.State = Unclear
		if p.Width >= plateau*m.pixel {
			out.State = Bare // the layer has no ink anywhere
		}
		return out, false
	}
	var read []run
	twice := 0
	for k := range lines {
		shift := (float64(k) - (lines-1)/2) * gap
		at := vector.XY{X: p.X + float64(u.X*shift), Y: p.Y + float64(u.Y*shift)}
		raw, step, on := m.raw(at, normal, half)
		if !on {
			out.State = OffScan
			return out, false
		}
		if left, right := ground(raw, step, beside); !m.covered(left, covering) || !m.covered(right, covering) {
			return out, false
		}
		q := m.inkAlong(raw, step, stroke.Layer, true, true)
		r, more, found := choose(q.runs(faint), p.Width)
		if !found {
			continue
		}
		if more || deeperInside(q, r) {
			twice++
		}
		read = append(read, r)
	}
	m.sum(&out, read)
	return out, 2*twice > lines
}

// steady reports whether a stroke goes on in about one direction near a place, and
// does not end there.
func (m *measurer) steady(w way, s, own float64) bool {
	half := w.mark(s).Width / 2
	if s < half+0.2 && w.mark(0).Width > 0.5*w.mark(s).Width || w.length()-s < half+0.2 && w.mark(w.length()).Width > 0.5*w.mark(s).Width {
		return false // the round end
	}
	if s < 0.3 || w.length()-s < 0.3 {
		return false
	}
	a, _ := w.direction(max(s-own, reach))
	b, _ := w.direction(min(s+own, w.length()-reach))
	return float64(a.X*b.X)+float64(a.Y*b.Y) > 0.5
}

// choose is the run of ink that is the stroke: of those within the line the widest
// near the middle. It reports a second one of half its width or more.
func choose(all []run, asked float64) (run, bool, bool) {
	best, found, more := run{}, false, false
	for _, r := range all {
		if math.IsNaN(r.from) || math.IsNaN(r.to) {
			continue
		}
		if !found || r.area > best.area {
			best, found = r, true
		}
	}
	for _, r := range all {
		more = more || r != best && r.area > 0.4*best.area
	}
	return best, more, found && best.area > 0.2*asked*min(1, best.depth) && !best.stray(asked)
}

// stray reports whether a run is a trace of something else: pale, and wholly beside
// where a stroke of a width in mm lies. Such is the last of a smear.
func (r run) stray(asked float64) bool {
	beside := max(r.from, -r.to) - asked/2
	return r.depth < 0.5 && beside > 0.4
}

// deeperInside reports whether a part of a run is darker than its other parts by so
// much that it is a second coat. The edges of a second coat that lies exactly on the
// first cannot be seen.
func deeperInside(p profile, r run) bool {
	low, high := math.Inf(1), math.Inf(-1)
	inset := min(r.width()/4, 0.2)
	for i, v := range p.q {
		if x := p.at(float64(i)); x > r.from+inset && x < r.to-inset {
			low, high = min(low, v), max(high, v)
		}
	}
	return high > 1.12 && high > 1.1*low && low > 0.5
}

// sum joins the parallel lines of a place.
func (m *measurer) sum(out *Place, read []run) {
	out.State = Bare
	if 2*len(read) < lines {
		return
	}
	var widths, offsets []float64
	depth := 0.0
	for _, r := range read {
		width := r.width()
		if width < plateau*m.pixel {
			width = r.area // thin: as much full ink
		} else {
			depth += r.depth / float64(len(read))
		}
		widths, offsets = append(widths, width), append(offsets, (r.from+r.to)/2)
	}
	floor := floorU * m.pixel
	out.State, out.Depth = Measured, depth
	out.Width, out.U = mean(widths, floor*math.Sqrt2)
	out.Offset, out.OffsetU = mean(offsets, floor/math.Sqrt2)
	if out.Width < plateau*m.pixel {
		out.U = math.Sqrt(float64(out.U*out.U) + float64(0.03*out.Width*0.03*out.Width)) // the ink may be paler
	}
	if out.U > 0.25*max(out.Asked, out.Width) {
		out.State = Unclear
	}
}

// mean is the mean of values and its standard uncertainty, with what no scatter shows.
func mean(values []float64, floor float64) (float64, float64) {
	n := float64(len(values))
	sum, squares := 0.0, 0.0
	for _, v := range values {
		sum += v
	}
	for _, v := range values {
		d := v - sum/n
		squares += float64(d * d)
	}
	return sum / n, math.Sqrt(squares/max(n-1, 1)/n + float64(floor*floor))
}

// end measures how far a stroke reaches at one of its ends.
func (m *measurer) end(i int, first bool) End {
	w, stroke := m.ways[i], m.strokes[i]
	s, sign := 0.0, -1.0
	if !first {
		s, sign = w.length(), 1
	}
	p := w.mark(s)
	u, _ := w.direction(s)
	out := End{Layer: stroke.Layer, Stroke: stroke.Number, First: first, At: vector.XY{X: p.X, Y: p.Y}, Along: u, Asked: p.Width, State: Hidden}
	_, known := m.inks[stroke.Layer]
	outward := vector.XY{X: sign * u.X, Y: sign * u.Y}
	half := p.Width/2 + m.margin()
	if !known || p.Width < plateau*m.pixel || w.length() < 2*half {
		return out
	}
	covering, free := m.alone(i, s, p, outward, half, 2*half)
	if !free {
		return out
	}
	var reaches []float64
	for k := -1; k <= 1; k++ {
		// Lines beside the middle see less of the round end.
		side := float64(k) * min(gap, p.Width/8)
		at := vector.XY{X: p.X - float64(u.Y*side), Y: p.Y + float64(u.X*side)}
		raw, step, on := m.raw(at, outward, half)
		if !on {
			out.State = OffScan
			return out
		}
		if _, outside := ground(raw, step, beside); !m.covered(outside, covering) {
			return out
		}
		q := m.inkAlong(raw, step, stroke.Layer, false, true)
		r, _, found := choose(q.runs(faint), p.Width)
		if !found || r.from > -p.Width/4 {
			out.State = Unclear
			return out
		}
		reaches = append(reaches, r.to-math.Sqrt(float64(p.Width*p.Width)/4-float64(side*side)))
	}
	out.State = Measured
	out.Beyond, out.U = mean(reaches, floorU*m.pixel)
	return out
}
