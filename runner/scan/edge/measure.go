package edge

import (
	"math"
	"slices"

	"mahlstick/runner/vector"
)

// Field is the light of a sheet: red, green and blue from 0 to 1 at a place in mm;
// false where there is none.
type Field func(vector.XY) ([3]float32, bool)

// Line is where and how a mark is measured.
type Line struct {
	At     vector.XY // a place on the mark, in mm
	Across vector.XY // direction of length 1, across the mark
	// Reach is how far from the place, in mm, the edges are looked for; Search how far
	// the mark itself may lie beside the place.
	Reach, Search float64
	Along         float64 // mm, the length of mark over which the edges are averaged
	Pixel         float64 // mm, the size of a pixel
	// Blur is the standard deviation of the scan's blur in mm; 0 where it is not
	// known. Core is the light of the ink where a mark is too thin to show it; zero
	// where that is not known.
	Blur float64
	Core [3]float32
	// Round is the diameter along of a mark that is a dot: chords beside the middle are
	// shorter; 0 for a mark with straight edges.
	Round float64
	// Bend is the curvature of the mark's middle line in 1/mm, positive where it bends
	// towards Across; the place moves with it.
	Bend float64
	// Free reports whether the edges can be seen at a place along, in mm; nil for
	// everywhere.
	Free func(along float64) bool
}

// Bounds of what is measured. Common practice, no source.
const (
	allInk        = 0.15 // of the light of paper is missing where everything in reach is ink
	leastContrast = 0.04 // of the light of paper
	baseFrom      = 0.15 // mm from the edge, where what lies beside the mark begins
	baseWide      = 0.5  // mm of it
	groupLength   = 0.2  // mm of mark of which the profiles are averaged
	fewest        = 3    // groups
	thin          = 5    // standard deviations of the blur, below which a mark shows no plateau
	softest       = 0.25 // mm from three quarters to one quarter of the contrast: more is a smear
)

// Measure measures a mark across. The paper's light is 1.
func Measure(field Field, l Line) Mark {
	p := newProfiler(field, l)
	whole, ok := p.mean(-l.Along/2, l.Along/2, false)
	if !ok {
		return Mark{Why: OffScan}
	}
	first, why := p.look(whole)
	if why != None {
		return Mark{Why: why, Contrast: first.contrast}
	}
	groups := max(fewest, int(l.Along/max(groupLength, 3*l.Pixel)))
	var widths, middles, softs []float64
	covered, soft, alone := 0, 0, 0
	for g := range groups {
		from := -l.Along/2 + l.Along*float64(g)/float64(groups)
		to := from + l.Along/float64(groups)
		if l.Free != nil && !l.Free((from+to)/2) {
			covered++
			continue
		}
		profile, ok := p.mean(from, to, true)
		if !ok {
			continue
		}
		e, why := p.edges(profile, first)
		switch why {
		case None:
			w := e.to - e.from
			if r := (from + to) / l.Round; l.Round > 0 && math.Abs(r) < 1 {
				w /= math.Sqrt(1 - float64(r*r))
			}
			middles = append(middles, (e.from+e.to)/2)
			widths, softs = append(widths, w), append(softs, e.soft)
		case Smeared:
			soft++
		case NotAlone:
			alone++
		}
	}
	switch need := max(2, groups/3); {
	case covered > groups-need:
		return Mark{Why: Covered, Contrast: first.contrast}
	case len(widths) >= need:
		return p.result(widths, middles, softs, first)
	case soft > alone:
		return Mark{Why: Smeared, Contrast: first.contrast}
	case alone > 0:
		return Mark{Why: NotAlone, Contrast: first.contrast}
	}
	return Mark{Why: Faint, Contrast: first.contrast}
}

// profiler samples a field across a mark.
type profiler struct {
	field Field
	line  Line
	along vector.XY
	step  float64 // mm between samples
	half  int     // samples on each side of the place
}

func newProfiler(field Field, l Line) *profiler {
	step := l.Pixel / 2
	return &profiler{field, l, l.Across.Left().Times(-1), step, int(math.Ceil((l.Reach + baseFrom + baseWide) / step))}
}

// profile is the light across, from -half to half.
type profile [][3]float32

// mean is the mean of the profiles along a stretch of the mark.
func (p *profiler) mean(from, to float64, all bool) (profile, bool) {
	n := max(1, int((to-from)/p.line.Pixel))
	if !all {
		n = min(n, 24)
	}
	out := make(profile, 2*p.half+1)
	count := 0
	for i := range n {
		t := from + (to-from)*(float64(i)+0.5)/float64(n)
		if !all && p.line.Free != nil && !p.line.Free(t) {
			continue
		}
		origin := p.line.At.Plus(p.along.Times(t)).Plus(p.line.Across.Times(p.line.Bend * t * t / 2))
		if !p.add(out, origin) {
			return nil, false
		}
		count++
	}
	if count == 0 { // covered everywhere: what there is must do
		if !p.add(out, p.line.At) {
			return nil, false
		}
		count = 1
	}
	for i := range out {
		for c := range out[i] {
			out[i][c] /= float32(count)
		}
	}
	return out, true
}

func (p *profiler) add(out profile, origin vector.XY) bool {
	for i := range out {
		v, ok := p.field(origin.Plus(p.line.Across.Times(float64(i-p.half) * p.step)))
		if !ok {
			return false
		}
		for c := range v {
			out[i][c] += v[c]
		}
	}
	return true
}

// edges are two edges in mm from the place, with the softness of each.
type edges struct {
	from, to    float64
	left, right [3]float32 // light beside the mark
	core        [3]float32
	weight      [3]float32 // of the channels
	contrast    float64
	soft        float64 // mm from one quarter to three quarters of the contrast, mean of both; 0 for a thin mark
}

// look finds the mark in the mean profile: what is darkest near the place, and how far
// that reaches on both sides.
func (p *profiler) look(whole profile) (edges, Why) {
	search := int(p.line.Search / p.step)
	dark := func(i int) float32 { return whole[i][0] + whole[i][1] + whole[i][2] }
	at := p.half
	for i := p.half - search; i <= p.half+search; i++ {
		if i >= 0 && i < len(whole) && dark(i) < dark(at) {
			at = i
		}
	}
	e := edges{core: whole[at], left: lightest(whole[:at+1]), right: lightest(whole[at:])}
	e.weigh()
	if e.contrast < leastContrast {
		if darker(e.core) > allInk {
			return e, NotAlone // no paper within the reach
		}
		return e, NoMark
	}
	// The edges, roughly; then what lies beside them, and the core between them.
	for range 3 {
		from, to, ok := p.cross(whole, at, &e)
		if !ok {
			return e, NotAlone
		}
		e.from, e.to = from, to
		inset := min(0.3*(to-from), max(2*p.line.Blur, 2*p.line.Pixel))
		e.core = p.between(whole, from+inset, to-inset)
		e.left, e.right = p.between(whole, from-baseFrom-baseWide, from-baseFrom), p.between(whole, to+baseFrom, to+baseFrom+baseWide)
		if p.line.Core != [3]float32{} && to-from < thin*p.line.Blur {
			e.core = p.line.Core
		}
		e.weigh()
		if at = p.index((from + to) / 2); e.contrast < leastContrast {
			return e, Faint
		}
	}
	if e.to-e.from < 1.2*p.line.Pixel {
		return e, TooCoarse
	}
	return e, None
}

// darker is how much less light than paper there is, in the darkest channel.
func darker(v [3]float32) float32 { return 1 - min(v[0], v[1], v[2]) }

// weigh chooses the weights of the channels so that the contrast is seen best: each
// counts by how much it differs.
func (e *edges) weigh() {
	sum := float32(0)
	e.contrast = 0
	for c := range e.core {
		d := max(0, float32((e.left[c]+e.right[c])/2)-e.core[c])
		e.weight[c] = d
		sum += d
		e.contrast = max(e.contrast, float64(d))
	}
	if sum > 0 {
		for c := range e.weight {
			e.weight[c] /= sum
		}
	}
}

// value is the light of a sample in the channels that count.
func (e *edges) value(v [3]float32) float64 {
	return float64(float64(e.weight[0]*v[0]) + float64(e.weight[1]*v[1]) + float64(e.weight[2]*v[2]))
}

// lightest is the light that a tenth of the samples exceed, channel by channel.
func lightest(part profile) (out [3]float32) {
	values := make([]float32, len(part))
	for c := range out {
		for i, v := range part {
			values[i] = v[c]
		}
		slices.Sort(values)
		out[c] = values[(len(values)-1)*9/10]
	}
	return out
}

// index is the sample at a place across, within the profile.
func (p *profiler) index(mm float64) int {
	return max(0, min(2*p.half, p.half+int(math.Round(mm/p.step))))
}

// between is the median light of a stretch across.
func (p *profiler) between(whole profile, from, to float64) (out [3]float32) {
	a, b := p.index(from), p.index(to)
	if b < a {
		a, b = (a+b)/2, (a+b)/2
	}
	values := make([]float32, 0, b-a+1)
	for c := range out {
		values = values[:0]
		for i := a; i <= b; i++ {
			values = append(values, whole[i][c])
		}
		slices.Sort(values)
		out[c] = values[len(values)/2]
	}
	return out
}

// cross finds where the light is half-way on both sides of a sample on the mark;
// false if it is not within the reach.
func (p *profiler) cross(whole profile, at int, e *edges) (from, to float64, ok bool) {
	from, ok = p.level(whole, at, -1, e, e.left, 0.5)
	if !ok {
		return 0, 0, false
	}
	to, ok = p.level(whole, at, 1, e, e.right, 0.5)
	return from, to, ok
}

// level is where, from a sample on the mark outwards, the light reaches a share of the
// way from the core to what lies beside it.
func (p *profiler) level(whole profile, at, side int, e *edges, beside [3]float32, share float64) (float64, bool) {
	core := e.value(e.core)
	want := core + float64(share*(e.value(beside)-core))
	last := e.value(whole[at])
	if last > want {
		return 0, false
	}
	for i := at + side; i >= 0 && i < len(whole); i += side {
		v := e.value(whole[i])
		if v > want {
			t := (want - last) / (v - last)
			mm := (float64(i-side-p.half) + float64(float64(side)*t)) * p.step
			return mm, math.Abs(mm) <= p.line.Reach
		}
		last = v
	}
	return 0, false
}

// edges finds the edges in the profile of a group, by the levels of the whole.
func (p *profiler) edges(group profile, first edges) (edges, Why) {
	e := first
	middle := p.index((first.from + first.to) / 2)
	if e.value(group[middle]) > e.value(e.core)+0.5*(e.value(e.left)-e.value(e.core)) {
		return e, NoMark
	}
	var ok bool
	if e.from, e.to, ok = p.cross(group, middle, &e); !ok {
		return e, NotAlone
	}
	width := e.to - e.from
	if p.line.Blur > 0 && width < thin*p.line.Blur {
		return p.thin(group, e)
	}
	most := max(softest, 6*p.line.Blur)
	e.soft = 0
	for _, side := range [...]int{-1, 1} {
		beside := e.left
		if side > 0 {
			beside = e.right
		}
		inner, a := p.level(group, middle, side, &e, beside, 0.25)
		outer, b := p.level(group, middle, side, &e, beside, 0.75)
		if a && !b || a && b && math.Abs(outer-inner) > most {
			return e, Smeared
		}
		e.soft += math.Abs(outer-inner) / 2
	}
	return e, None
}

// thin measures a mark that shows no plateau: its width is the light that it takes
// away, which blur does not change, as a part of what its ink takes away. Its edges lie at
// equal distances from the middle of what is taken.
func (p *profiler) thin(group profile, e edges) (edges, Why) {
	out := 4 * p.line.Blur
	a, b := p.index(e.from-out), p.index(e.to+out)
	taken, moment := 0.0, 0.0
	left, right, core := e.value(e.left), e.value(e.right), e.value(e.core)
	for i := a; i <= b; i++ {
		t := float64(i-a) / float64(max(1, b-a))
		base := left + float64(t*(right-left))
		d := base - e.value(group[i])
		taken += float64(d * p.step)
		moment += float64(d * p.step * float64(i-p.half) * p.step)
	}
	depth := (left+right)/2 - core
	if taken <= 0 || depth <= 0 {
		return e, Faint
	}
	width, middle := taken/depth, moment/taken
	e.from, e.to = middle-width/2, middle+width/2
	return e, None
}

// result is the mean of the groups without those that lie far apart.
func (p *profiler) result(widths, middles, softs []float64, first edges) Mark {
	width, scatter, n := trimmed(widths)
	middle, wander, _ := trimmed(middles)
	if scatter > 0.25*width && scatter > 0.1 {
		return Mark{Why: TooUnequal, Contrast: first.contrast}
	}
	// A tenth of a pixel at each edge stays unknown, however long the mark is: it is
	// that of the samples between pixels and of coding. Common practice, no source.
	floor := 0.1 * p.line.Pixel
	slices.Sort(softs)
	return Mark{From: middle - width/2, To: middle + width/2, Contrast: first.contrast, Core: first.core, Soft: softs[len(softs)/2],
		U:       math.Hypot(scatter/math.Sqrt(n), floor*math.Sqrt2),
		MiddleU: math.Hypot(wander/math.Sqrt(n), floor/math.Sqrt2)}
}

// trimmed is the mean of values without those beyond four deviations from the median, and
// their standard deviation.
func trimmed(values []float64) (mean, deviation, n float64) {
	sorted := slices.Sorted(slices.Values(values))
	median := sorted[len(sorted)/2]
	away := make([]float64, len(values))
	for i, v := range values {
		away[i] = math.Abs(v - median)
	}
	slices.Sort(away)
	limit := max(4*1.4826*away[len(away)/2], 0.01)
	squares := 0.0
	for _, v := range values {
		if math.Abs(v-median) <= limit {
			mean += v
			n++
		}
	}
	mean /= n
	for _, v := range values {
		if math.Abs(v-median) <= limit {
			squares += float64((v - mean) * (v - mean))
		}
	}
	if n > 1 {
		deviation = math.Sqrt(squares / (n - 1))
	}
	return mean, deviation, n
}
