package meaning

import (
	"math"
	"slices"

	"mahlstick/recipe/measure"
	"mahlstick/runner/scan/along"
	"mahlstick/runner/vector"
)

// observation is a measured difference from what was asked.
type observation struct {
	y, u   float64
	group  int
	stroke [2]int
	layer  int
	press  float64
	// predict is what the unknowns make of it; it fills how it changes with each.
	predict func(c, row []float64) float64
}

// Groups of observations whose errors are alike.
const (
	widths = iota
	offsets
	ends
	groups
)

// fitting is the fit of all unknowns of a sheet at once.
type fitting struct {
	r       *Result
	x       *unknowns
	presses map[[2]int]*pressing // by layer and stroke
	seen    []observation
	c       []float64 // the unknowns
	fit     *measure.Fit
}

func newFitting(r *Result, measured *along.Result) *fitting {
	f := &fitting{r: r, x: &unknowns{r: r, column: map[[2]int]int{}, centre: map[int]vector.XY{}}, presses: map[[2]int]*pressing{}}
	add := func(k Kind, of int) {
		if _, known := f.x.column[[2]int{int(k), of}]; !known {
			f.x.column[[2]int{int(k), of}] = len(f.x.all)
			f.x.all = append(f.x.all, Effect{Kind: k, Of: of})
		}
	}
	for _, l := range measured.Layers() {
		for k := Touch; k <= GrowthY; k++ {
			switch {
			case !k.ofLayer():
				add(k, r.Layers[l].Brush)
			case k < ShiftX || !r.Layers[l].Frame:
				add(k, l)
			}
		}
	}
	f.c = f.x.row()
	f.observe(measured)
	return f
}

// observe turns what was measured into observations.
func (f *fitting) observe(measured *along.Result) {
	f.survey(measured)
	doubled := map[[2]int]bool{}
	for _, v := range measured.Strokes {
		doubled[[2]int{v.Layer, v.Stroke}] = v.Doubled
	}
	painted := map[int]float64{} // m, by brush
	var lifting bool
	var last [2]int
	for _, p := range measured.Places {
		l, key := f.r.Layers[p.Layer], [2]int{p.Layer, p.Stroke}
		painted[l.Brush] += along.Spacing / 1000
		switch {
		case key != last:
			last, lifting = key, false
		case math.Abs(p.Rise) > level:
			lifting = p.Rise < 0
		}
		press, ok := at(l, p.Asked)
		if p.State != along.Measured || !ok || doubled[key] || f.faded(p.Layer, p.Stroke, p.Way) {
			continue
		}
		m := mark{f: f, layer: p.Layer, asked: p.Asked, way: p.Way, along: f.presses[key], lifting: lifting, metres: painted[l.Brush], press: press, at: p.At, dir: p.Along}
		f.seen = append(f.seen, observation{p.Width - p.Asked, p.U, widths, key, p.Layer, press, m.width})
		left := p.Along.Left()
		f.seen = append(f.seen, observation{p.Offset, p.OffsetU, offsets, key, p.Layer, press, func(c, row []float64) float64 {
			f.x.place(row, p.Layer, p.At, left)
			return dot(c, row)
		}})
	}
	for _, e := range measured.Ends {
		f.end(e)
	}
}

// level is how much, in mm a mm of way, a width changes at most where a stroke is
// neither pressed nor lifted.
const level = 0.01

// end observes how far a stroke reaches.
func (f *fitting) end(e along.End) {
	l, key := f.r.Layers[e.Layer], [2]int{e.Layer, e.Stroke}
	press, ok := at(l, e.Asked)
	if e.State != along.Measured || !ok || f.faded(e.Layer, e.Stroke, math.Inf(1)) {
		return
	}
	m := mark{f: f, layer: e.Layer, asked: e.Asked, along: &pressing{[]float64{0}, []float64{press}}, press: press}
	sign := -1.0
	if !e.First {
		sign = 1
	}
	f.seen = append(f.seen, observation{e.Beyond, e.U, ends, key, e.Layer, press, func(c, row []float64) float64 {
		out := m.width(c, row) / 2
		for i := range row {
			row[i] /= 2
		}
		f.x.place(row, e.Layer, e.At, e.Along.Times(sign))
		if !e.First {
			f.x.put(row, Lag, l.Brush, -f.x.share(l.Brush, press))
		}
		for k := Lag; k <= GrowthY; k++ {
			if i, known := f.x.column[[2]int{int(k), f.x.of(k, e.Layer)}]; known && k != Play {
				out += float64(row[i] * c[i])
			}
		}
		return out
	}})
}

// change is by how much a width is more than that of the table at a press, by the
// curve's own unknowns, and its standard uncertainty.
func (f *fitting) change(b int, press float64) (float64, float64) {
	row := f.x.row()
	f.x.shape(row, b, press)
	_, u := f.fit.At(row)
	return dot(f.c, row), math.Sqrt(float64(u*u) + systematicWidth*systematicWidth)
}

// survey finds the range of presses of each brush and the middle of each layer.
func (f *fitting) survey(measured *along.Result) {
	n := map[int]float64{}
	for _, p := range measured.Places {
		b := f.r.Layers[p.Layer].Brush
		press, ok := at(f.r.Layers[p.Layer], p.Asked)
		if key := [2]int{p.Layer, p.Stroke}; ok {
			if f.presses[key] == nil {
				f.presses[key] = &pressing{}
			}
			f.presses[key].ways, f.presses[key].at = append(f.presses[key].ways, p.Way), append(f.presses[key].at, press)
		}
		if ok && p.State == along.Measured {
			f.r.deepest[b] = max(f.r.deepest[b], press)
			f.r.lightest[b] = min(f.r.lightest[b], press)
			f.x.centre[p.Layer] = f.x.centre[p.Layer].Plus(p.At)
			n[p.Layer]++
		}
	}
	for l, sum := range f.x.centre {
		f.x.centre[l] = sum.Times(1 / n[l])
	}
}

func (f *fitting) faded(layer, stroke int, way float64) bool {
	return slices.ContainsFunc(f.r.Fades, func(a Fade) bool {
		return a.Layer == layer && (stroke > a.Stroke || stroke == a.Stroke && way >= a.Way)
	})
}

// rounds is how often the unknowns are improved: the lag reaches along the stroke, and
// the curve decides what a press does. A step that makes the fit worse is halved, so
// many times at most.
const (
	rounds   = 8
	halvings = 6
)

// far is how many standard uncertainties from the fit a value counts less: beyond, its
// square grows like its size (P. J. Huber, Ann. Math. Stat. 35 (1964) 73-101).
const far = 3.0

// run fits until the unknowns are steady. The median scatter about each fit decides how
// much each group counts in the next; what far values and alike neighbours add goes into
// the doubts alone, so that a bad fit does not make what is known beforehand count more.
func (f *fitting) run() {
	scale, inflate := [groups]float64{1, 1, 1}, [groups]float64{}
	for range rounds {
		fit, err := f.solve(scale)
		if err != nil {
			return
		}
		f.step(fit.Coefficients, scale)
		scale, inflate = f.scatter()
	}
	fit, err := f.solve(inflate)
	if err != nil {
		return
	}
	f.fit = fit
	for _, o := range f.seen {
		if o.group == widths {
			f.r.Places++
		}
	}
	f.judge()
}

// step changes the unknowns, as far as that makes the fit better.
func (f *fitting) step(by []float64, inflate [groups]float64) {
	from, cost := slices.Clone(f.c), f.cost(inflate)
	share := 1.0
	for range halvings {
		for i := range f.c {
			f.c[i] = from[i] + float64(share*by[i])
		}
		if f.cost(inflate) <= cost {
			return
		}
		share /= 2
	}
	copy(f.c, from)
}

// weight is how much an observation counts, of a value so far from the fit.
func weight(o *observation, off float64, inflate [groups]float64) float64 {
	variance := float64(o.u*o.u) * inflate[o.group]
	return min(1, far*math.Sqrt(variance)/max(math.Abs(off), 1e-12)) / variance
}

// cost is what the fit makes least.
func (f *fitting) cost(inflate [groups]float64) (sum float64) {
	for i := range f.seen {
		o := &f.seen[i]
		off := o.y - o.predict(f.c, f.x.row())
		u := math.Sqrt(float64(o.u*o.u) * inflate[o.group])
		e := math.Abs(off) / u
		if e > far {
			sum += float64(far * (2*e - far))
			continue
		}
		sum += float64(e * e)
	}
	for i, e := range f.x.all {
		p := f.c[i] / f.prior(e)
		sum += float64(p * p)
	}
	return sum
}

// solve finds by how much the unknowns have to change.
func (f *fitting) solve(inflate [groups]float64) (*measure.Fit, error) {
	var design [][]float64
	var y, weights []float64
	for i := range f.seen {
		o, row := &f.seen[i], f.x.row()
		off := o.y - o.predict(f.c, row)
		design, y, weights = append(design, row), append(y, off), append(weights, weight(o, off, inflate))
	}
	for i, e := range f.x.all { // what no sheet exceeds
		row := f.x.row()
		row[i] = 1
		p := f.prior(e)
		design, y, weights = append(design, row), append(y, -f.c[i]), append(weights, 1/float64(p*p))
	}
	return measure.LeastSquares(design, y, weights, 1)
}

// prior is how large an effect can be. Three times the doubt of touching off is as
// wrong as it gets.
func (f *fitting) prior(e Effect) float64 {
	if touch := f.r.touchOf(e); e.Kind == Touch && touch > 0 {
		return 3 * touch
	}
	return e.Kind.prior()
}

// scatter is by how much the variances of each group are greater than stated. scale is
// that by the median of the values; out is by the squares about the fit, those far from
// it cut off, and by what neighbours on a stroke have in common (of n values whose
// neighbours are alike by r, only n (1-r)/(1+r) count).
func (f *fitting) scatter() (scale, out [groups]float64) {
	for g := range out {
		var off, sizes []float64
		var strokes [][2]int
		for _, o := range f.seen {
			if o.group == g {
				e := (o.y - o.predict(f.c, f.x.row())) / o.u
				off, sizes, strokes = append(off, e), append(sizes, math.Abs(e)), append(strokes, o.stroke)
			}
		}
		if scale[g], out[g] = 1, 1; len(off) < 3 {
			continue
		}
		slices.Sort(sizes)
		typical := max(1, 1.4826*sizes[len(sizes)/2]) // the median of a normal distribution's sizes is 1/1.4826
		scale[g] = float64(typical * typical)
		limit := far * typical
		var squares, product, pairs float64
		for i := range off {
			off[i] = max(-limit, min(limit, off[i]))
			squares += float64(off[i] * off[i])
			if i > 0 && strokes[i] == strokes[i-1] {
				product, pairs = product+float64(off[i]*off[i-1]), pairs+1
			}
		}
		n := float64(len(off))
		out[g] = max(1, squares/max(n-float64(len(f.x.all))/2, 1))
		if pairs > 10 && squares > 0 {
			alike := max(0, min(0.95, product/pairs/(squares/n)))
			out[g] *= (1 + alike) / (1 - alike)
		}
	}
	return scale, out
}

// most is how alike two effects may be, as a correlation, and how much of what could
// be may stay unknown, so that the sheet tells them.
const (
	most      = 0.97
	leastTold = 0.3
)

// judge turns the fit into effects.
func (f *fitting) judge() {
	c := f.fit.Covariance
	for i, e := range f.x.all {
		s := e.Kind.systematic()
		e.Value, e.U = f.c[i], math.Sqrt(max(c[i][i], 0)+float64(s*s))
		e.Told = e.U < leastTold*f.prior(e)
		for j, other := range f.x.all {
			if i != j && e.U > 0 && math.Abs(c[i][j]) > most*math.Sqrt(float64(c[i][i]*c[j][j])) {
				e.Alike = append(e.Alike, other.Kind)
			}
		}
		f.r.Effects = append(f.r.Effects, e)
	}
	slices.SortStableFunc(f.r.Effects, func(a, b Effect) int { return int(a.Kind) - int(b.Kind) })
}
